// Tells what was refused, each fault at its place in the text.
import * as files from "/page/boardfile.js";
import { el } from "/page/elements.js";
import { $, on } from "/page/table.js";

let ofFile = false; // the faults shown are of a file that was not taken, not of the board
const most = 50; // faults that are told

export function quiet() {
  $("faults").hidden = true;
}

on("edit", quiet);
// The board's own faults go when it is answered; those of a file dropped meanwhile stay.
for (const kind of ["answer", "estimate"]) on(kind, () => { if (!ofFile) quiet(); });
on("refused", ({ err, text, fromFile }) => refused(err, text, fromFile));

export function refused(err, text, fromFile = false) {
  if (err.name === "AbortError") return;
  ofFile = fromFile;
  $("faults").hidden = false;
  $("fault-title").textContent = err.title || err.message;
  const list = err.errors && err.errors.length ? err.errors : [{ detail: err.message }];
  $("fault-list").replaceChildren(...list.slice(0, most).map((f) => {
    const li = el("li"), at = f.pointer && files.placeOf(text, f.pointer);
    li.append(el("strong", f.pointer || f.parameter || "the file"), el("span", `: ${f.detail || ""}${f.found ? `; found ${f.found}` : ""}${f.allowed ? `; allowed: ${f.allowed}` : ""}${f.nearest ? `; near: ${f.nearest.join(", ")}` : ""}. `));
    if (at && $("text").value === text) li.append(place(at));
    return li;
  }));
  if (fromFile) { // whoever dropped it looks elsewhere
    $("faults").focus({ preventScroll: true });
    $("faults").scrollIntoView({ block: "center" });
  }
  if (list.length > most) $("fault-list").append(el("li", `and ${list.length - most} more`));
}

// place is a button that shows where in the text a fault is.
function place(at) {
  const show = el("button", `line ${at.line}`, "second opens");
  show.type = "button";
  show.onclick = () => {
    $("text").closest("details").open = true;
    $("text").focus();
    $("text").setSelectionRange(at.from, at.to);
  };
  return show;
}
