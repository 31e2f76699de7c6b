// The hand on the board: a finger, a mouse or keys paint, turn and look.
import { change, rest } from "/page/edits.js";
import * as files from "/page/boardfile.js";
import { hold } from "/page/controls.js";
import { derive, deriving } from "/page/deriving.js";
import { glued } from "/page/showing.js";
import { $, best, colourOfStock, labelOf, percent, ringOf, table } from "/page/table.js";

export function choose(tool) {
  table.tool = tool;
  for (const b of document.querySelectorAll(".tool")) b.setAttribute("aria-pressed", String(b.dataset.tool === tool));
  $("board").classList.toggle("works", tool !== "look");
}
for (const b of document.querySelectorAll(".tool")) b.onclick = () => choose(b.dataset.tool);

// tell says in words what a piece is and how its worst joint does.
function tell(id) {
  const p = table.report.pieces.find((q) => q.id === id);
  if (!p) return;
  const at = best().joints.filter((j) => j.a === id || j.b === id).sort((a, b) => b.utilisation - a.utilisation)[0];
  $("piece-words").replaceChildren(`${labelOf(p)}. ${at ? `Its worst joint is ${at.id}: ${at.verdict}, ${percent(at.utilisation)}, ${at.how || "quiet"}. ` : ""}`);
  if (at && at.utilisation > 0) $("piece-words").append(deriving(at.id));
}

function walk(id) {
  const before = glued.pieces.get(table.focused);
  if (before) before.g.setAttribute("tabindex", "-1");
  table.focused = id;
  glued.pieces.get(id).g.setAttribute("tabindex", "0");
}

// near is the next piece in a direction from the focused one.
function near(dx, dy) {
  const from = glued.pieces.get(table.focused).centre;
  let best = "", least = Infinity;
  for (const [id, e] of glued.pieces) {
    const x = e.centre[0] - from[0], y = e.centre[1] - from[1], ahead = x * dx + y * dy, aside = Math.abs(x * dy - y * dx);
    if (ahead > 0.1 && aside < ahead && ahead + 2 * aside < least) [best, least] = [id, ahead + 2 * aside];
  }
  return best;
}

function act(id, gesture) {
  const stock = table.file.stock[table.key];
  if (table.tool === "paint") {
    glued.colour(id, colourOfStock(stock, stock.species));
    change((f) => files.paint(f, id, table.key), gesture);
  }
  if (table.tool === "turn") change((f) => files.turn(f, id, ringOf(id) + 90), gesture);
  tell(id);
}

let drag = null;
const reach = { mouse: 8 }, fingertip = 16; // px round a glue line

function pieceAt(event) {
  const e = document.elementFromPoint(event.clientX, event.clientY);
  const g = e && e.closest("#board .piece");
  return g ? g.dataset.id : "";
}

$("board").addEventListener("pointerdown", (event) => {
  const id = pieceAt(event);
  if (event.button !== 0) return;
  const line = table.tool === "look" && glued.jointNear(event.clientX, event.clientY, reach[event.pointerType] || fingertip);
  if (line) return derive(line);
  if (!id) return;
  walk(id);
  if (table.tool === "look") return tell(id);
  event.preventDefault();
  glued.pieces.get(id).g.focus({ preventScroll: true });
  $("board").setPointerCapture(event.pointerId);
  drag = { id, last: "", turned: false, gesture: { keepsOutlines: true }, from: [event.clientX, event.clientY] };
  if (table.tool === "paint") {
    act(id, drag.gesture);
    drag.last = id;
  }
});
$("board").addEventListener("pointermove", (event) => {
  if (!drag) return;
  if (table.tool === "paint") {
    const id = pieceAt(event);
    if (id && id !== drag.last) {
      drag.last = id;
      act(id, drag.gesture);
    }
    return;
  }
  if (!drag.turned && Math.hypot(event.clientX - drag.from[0], event.clientY - drag.from[1]) < 5) return;
  const box = glued.pieces.get(drag.id).g.getBoundingClientRect();
  const angle = (Math.atan2(box.top + box.height / 2 - event.clientY, event.clientX - box.left - box.width / 2) * 180) / Math.PI;
  glued.turned(drag.id, angle);
  change((f) => files.turn(f, drag.id, angle), drag.gesture);
  drag.turned = true;
});
$("board").addEventListener("pointerup", () => {
  if (drag && table.tool === "turn" && !drag.turned) act(drag.id);
  drag = null;
  rest();
});
$("board").addEventListener("pointercancel", () => {
  drag = null;
  rest();
});

$("board").addEventListener("focusin", (event) => {
  const g = event.target.closest(".piece");
  if (!g) return;
  walk(g.dataset.id);
  tell(g.dataset.id);
});

const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const notch = 15; // degrees that a key turns rings
$("board").addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const id = table.focused, stocks = Object.keys(table.file.stock);
  if (arrows[event.key]) {
    const to = near(...arrows[event.key]);
    if (to) {
      walk(to);
      glued.pieces.get(to).g.focus({ preventScroll: true });
    }
  } else if (event.key === "Enter" || event.key === " ") act(id);
  else if (event.key === "[" || event.key === "]") change((f) => files.turn(f, id, ringOf(id) + (event.key === "[" ? -notch : notch)));
  else if (/^[1-9]$/.test(event.key) && stocks[event.key - 1]) hold(stocks[event.key - 1]);
  else return;
  event.preventDefault();
});
