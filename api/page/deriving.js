// Opens numbers: of a joint, of a way to fail, of a size, step by step.
import * as derivation from "/page/derivation.js";
import { el } from "/page/elements.js";
import * as service from "/page/service.js";
import { $, air, byRoom, on, table } from "/page/table.js";

let opener = null; // the button that was pressed; null for the board

// deriving is a button that opens the numbers that a word means.
export function deriving(word, text = "derive its numbers", label = `Derive the numbers of ${word}`) {
  const b = el("button", text, "second opens");
  b.type = "button";
  b.setAttribute("aria-label", label);
  b.onclick = () => derive(word, b);
  return b;
}

// inRoom says that a word asks about the air of the slider, not about the year.
const inRoom = (word) => word.endsWith("@room") || (byRoom() && word.includes("|"));

// derive opens the numbers of a word; closing them gives the focus back to where it came
// from, a button or the board.
export async function derive(word, from = null) {
  const of = table.version, section = $("derivation");
  opener = from;
  section.hidden = false;
  $("derivation-title").textContent = `The numbers of ${word}`;
  $("steps").replaceChildren(el("p", "Being worked out…", "soft"));
  $("derivation-title").focus();
  try {
    const d = await service.explain(table.file, word, inRoom(word) ? air() : "");
    if (of === table.version) derivation.show($("steps"), d);
  } catch (err) {
    if (of === table.version) $("steps").replaceChildren(el("p", err.message));
  }
}

$("close-derivation").onclick = () => {
  $("derivation").hidden = true;
  const back = opener && opener.isConnected ? opener : document.querySelector('#board .piece[tabindex="0"]');
  if (back) back.focus();
};

on("edit", () => { $("derivation").hidden = true; });
