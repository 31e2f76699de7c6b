// Lays entries in OSV form out as govulncheck reads a database: an index of
// modules and one of entries, and the entries by id.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";

const [from, to] = process.argv.slice(2);
mkdirSync(`${to}/index`, { recursive: true });
mkdirSync(`${to}/ID`);
const modules = new Map(), vulns = [];
let modified = "";
for (const name of readdirSync(from).filter((n) => n.endsWith(".json"))) {
  const entry = JSON.parse(readFileSync(`${from}/${name}`, "utf8"));
  if (entry.withdrawn) continue;
  writeFileSync(`${to}/ID/${entry.id}.json`, JSON.stringify(entry));
  vulns.push({ id: entry.id, modified: entry.modified, aliases: entry.aliases ?? [] });
  if (entry.modified > modified) modified = entry.modified;
  for (const a of entry.affected ?? []) {
    const fixed = (a.ranges ?? []).flatMap((r) => r.events ?? []).map((e) => e.fixed).filter(Boolean).at(-1);
    const path = a.package.name;
    if (!modules.has(path)) modules.set(path, { path, vulns: [] });
    modules.get(path).vulns.push({ id: entry.id, modified: entry.modified, ...(fixed && { fixed }) });
  }
}
writeFileSync(`${to}/index/db.json`, JSON.stringify({ modified }));
writeFileSync(`${to}/index/vulns.json`, JSON.stringify(vulns));
writeFileSync(`${to}/index/modules.json`, JSON.stringify([...modules.values()]));
