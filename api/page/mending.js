// Remedies: single changes that help, each one press and taken back by another. The two
// best of a few come first, for a board is mended in a minute or not at all; every change
// that the program knows is worked out when asked for.
import { remember, set } from "/page/edits.js";
import { el } from "/page/elements.js";
import * as service from "/page/service.js";
import { $, on, percent, table } from "/page/table.js";

on("edit", () => {
  $("mend").hidden = true;
  $("remedies").replaceChildren();
  for (const id of ["advise-words", "every-words"]) $(id).textContent = "";
});

$("advise").onclick = () => tried("advise", true);
$("every").onclick = () => tried("every", false);

async function tried(button, quick) {
  const of = table.version, words = $(`${button}-words`);
  words.textContent = "Trying one change after another…";
  $(button).disabled = true; // one press is enough
  try {
    const a = await service.advice(table.file, quick, (done, total) => {
      if (of === table.version && total > 1) words.textContent = `Trying one change after another: ${done} of ${total}`;
    });
    if (of === table.version) show(a, words);
  } catch (err) {
    if (of === table.version) words.textContent = err.message;
  }
  $(button).disabled = false;
}

function show(a, words) {
  const moves = [...a.moves, ...a.design];
  if (a.now.verdict === "holds" && !moves.length) words.textContent = "It holds as it is.";
  else if (moves.length) words.textContent = "The most helpful first; each can be taken back.";
  else if (a.skipped && a.skipped.length) words.textContent = "There was no time to try; ask again.";
  else words.textContent = "Nothing that was tried helps by a twentieth or more.";
  $("remedies").replaceChildren(...moves.map(remedy));
  $("mend").hidden = false;
  $("mend-title").focus({ preventScroll: true });
  $("mend").scrollIntoView({ block: "nearest" });
}

function remedy(m) {
  const li = el("li"), box = el("div", undefined, m.verdict), take = el("button", "Do it");
  take.type = "button";
  take.setAttribute("aria-label", `Do it: ${m.text}`);
  take.onclick = () => {
    remember();
    set(m.board);
    $("undo").focus();
  };
  box.append(el("strong", `${m.verdict}, ${percent(m.utilisation)}`), el("p", `${m.text} Costs: ${m.cost.text}.${m.note ? ` ${m.note}` : ""}`), take);
  li.append(box);
  return li;
}
