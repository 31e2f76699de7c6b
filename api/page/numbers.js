// Tells the numbers that stand beside the word, each with the way to its derivation.
import { deriving } from "/page/deriving.js";
import { el } from "/page/elements.js";
import { $, on, percent, table } from "/page/table.js";

on("year", show);
on("answer", () => { $("beside").hidden = true; });

const hours = (h) => (h < 48 ? `${h.toPrecision(2)} h` : h < 24 * 90 ? `${Math.round(h / 24)} days` : `${(h / 730).toPrecision(2)} months`);

function line(text, word, label) {
  const li = el("li", `${text} `);
  li.append(deriving(word, "derive", `Derive ${label}`));
  return li;
}

// follows tells how fast the kinds of wood follow the air.
function follows(r) {
  const list = (r.exposures || []).flatMap((e) => e.responses || []).filter((k) => k.half_hours && k.ninety_hours);
  return list.map((k) => `${k.kind.toLowerCase()} half of a change in ${hours(k.half_hours)}, nine tenths in ${hours(k.ninety_hours)}`).join("; ");
}

function show() {
  const r = table.year, list = [], w = r.worst;
  if (w && w.elastic_utilisation > 0) list.push(line(`If no stress eased with time the worst place would carry ${percent(w.elastic_utilisation)}.`, "elastic", "what would be if no stress eased"));
  if (r.crushing) list.push(line(`Pressed hardest: ${r.crushing.joint}, at ${percent(r.crushing.utilisation)} of what crushes the wood.`, "crushing", "the pressure"));
  if (r.stages) {
    list.push(line(`Of the worst place's load, what moved after each glue-up brought: ${r.stages.map((s) => `${s.name} ${percent(s.share)}`).join(", ")}.`, "stages", "what the glue-ups left"));
    if (r.at_once) list.push(line(`Glued all at once, the worst line would carry ${percent(r.at_once)}.`, "at_once", "what would be, glued all at once"));
  }
  const speed = follows(r);
  if (speed) list.push(line(`How fast it follows the air: ${speed}.`, "responses", "how fast wood follows the air"));
  $("numbers").replaceChildren(...list);
  $("beside").hidden = list.length === 0;
}
