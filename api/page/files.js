// Files and links: boards come in by either, and go out as a file, picture, card or link.
import { remember, set } from "/page/edits.js";
import * as boardfile from "/page/boardfile.js";
import * as drawn from "/page/drawn.js";
import { el } from "/page/elements.js";
import { quiet, refused } from "/page/faults.js";
import * as service from "/page/service.js";
import { $, air, best, table, text } from "/page/table.js";

let loads = 0; // only the latest that was opened is answered
const mostShown = 400000; // characters that the field for text takes without stalling

// load takes a board file's text; the service is the one that reads it.
export async function load(src) {
  const mine = ++loads;
  if (src.length > boardfile.mostText) return refused(new service.Refused({ title: "Too large", detail: `a board file has at most ${boardfile.mostText >> 20} MB` }), "", true);
  $("text").value = src.length <= mostShown ? src : "";
  try {
    await service.read(src, air());
    if (mine !== loads) return false;
    const next = JSON.parse(src);
    remember();
    table.times = 0;
    table.shape = null;
    quiet();
    table.moving = false;
    set(next);
    return true;
  } catch (err) {
    if (mine === loads) refused(err, src, true);
    return false;
  }
}

async function open(f) {
  if (f.size > boardfile.mostText) return ++loads && refused(new service.Refused({ title: "Too large", detail: `${f.name} has ${f.size} bytes; a board file has at most ${boardfile.mostText}` }), "", true);
  const src = await f.text();
  if (!drawn.isDrawing(f.name, src)) return load(src);
  const mine = ++loads;
  try {
    const woods = [...table.woods.values()].sort((a, b) => a.common_name.localeCompare(b.common_name));
    const board = await drawn.ask($("untold"), src, { units: table.file.units, thickness: table.file.thickness }, woods);
    if (board && mine === loads) await load(board);
  } catch (err) {
    if (mine === loads) refused(err, "", true);
  }
}

$("open").onchange = () => { if ($("open").files[0]) open($("open").files[0]); $("open").value = ""; };
$("load").onclick = () => load($("text").value);
document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("over"); });
document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("over"); });
document.addEventListener("drop", (event) => {
  event.preventDefault();
  document.body.classList.remove("over");
  const f = event.dataTransfer.files[0];
  if (f) open(f);
  else load(event.dataTransfer.getData("text/plain"));
});

function save(name, kind, content) {
  const a = el("a");
  a.href = URL.createObjectURL(new Blob([content], { type: kind }));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 10000);
}
const stem = () => (table.file.name || "board").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "board";

// Every button that saves: the end of the file's name, its type, what is in it.
const saves = {
  "save-board": [".json", "application/json", () => boardfile.write(table.file) + "\n"],
  "save-json": ["-answer.json", "application/json", () => JSON.stringify(best(), null, 1)],
  "save-svg": [".svg", "image/svg+xml", () => service.picture(text(), "layout")],
  "save-png": [".png", "image/png", () => service.png(text())],
  "save-card": ["-care-card.html", "text/html", () => service.plan(text(), "card")],
  "save-plan": ["-plan.html", "text/html", () => service.plan(text(), "plan")],
};
for (const [id, [end, kind, content]] of Object.entries(saves)) {
  $(id).onclick = async () => {
    try {
      save(stem() + end, kind, await content());
    } catch (err) {
      refused(err, text());
    }
  };
}

$("share").onclick = async () => {
  history.replaceState(null, "", await boardfile.toLink(table.file));
  let copied = false;
  try {
    await navigator.clipboard.writeText(location.href);
    copied = true;
  } catch { /* not allowed here: the address bar has it */ }
  $("shared").textContent = copied ? "The link is on the clipboard; the board is all in it." : "The link stands in the address bar; the board is all in it.";
};

const demo = async () => load(JSON.stringify(await service.get("/page/demo.json"), null, 2));
$("demo").onclick = demo;

async function fromHash() {
  try {
    const lesson = /^#lesson=([a-z-]{1,60})$/.exec(location.hash);
    const src = lesson ? JSON.stringify((await service.get(`/v1/lessons/${lesson[1]}`)).board, null, 2) : await boardfile.fromLink(location.hash);
    return src ? await load(src) : false;
  } catch {
    refused(new service.Refused({ title: "This link holds no whole board", detail: "part of it may have been cut off" }), "");
    return false;
  }
}
window.addEventListener("hashchange", fromHash);

// first opens the board of the address, or the demonstration.
export async function first() {
  if (!(await fromHash()) && !table.file) await demo();
}
