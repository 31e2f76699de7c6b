// The controls beside the board: stocks, size, panel, border, home.
import { canRedo, canUndo, change, redo, rest, undo } from "/page/edits.js";
import * as files from "/page/boardfile.js";
import { chip } from "/page/drawing.js";
import { el } from "/page/elements.js";
import * as panel from "/page/panel.js";
import { glued, outputs } from "/page/showing.js";
import { $, colourOfStock, inFile, inch, on, table, tell, woodName } from "/page/table.js";

on("edit", () => { if (!table.moving) controls(); });
on("rest", controls);
on("stock", controls);

function controls() {
  const { file, key } = table, stock = file.stock[key];
  $("undo").disabled = !canUndo();
  $("redo").disabled = !canRedo();
  $("palette").replaceChildren(...Object.entries(file.stock).slice(0, 60).map(([k, s], i) => {
    const b = el("button");
    b.type = "button";
    b.setAttribute("role", "radio");
    b.setAttribute("aria-checked", String(k === key));
    b.tabIndex = k === key ? 0 : -1;
    b.dataset.stock = k;
    b.append(chip(colourOfStock(s, s.species), s), el("span", `${k}: ${woodName(s.species)}${i < 9 ? ` (${i + 1})` : ""}`));
    b.onclick = () => hold(k);
    return b;
  }));
  $("stock-name").textContent = `Stock ${key}`;
  $("wood").value = table.woods.has(stock.species) ? stock.species : "";
  $("ring").value = typeof stock.ring_angle === "number" ? ((stock.ring_angle % 180) + 180) % 180 : 0;
  $("moisture").value = typeof stock.moisture === "number" ? stock.moisture : 8;
  $("sizes").hidden = !files.isGrid(file);
  if (files.isGrid(file)) {
    $("rows-out").textContent = file.field.grid.rows.length;
    $("cols-out").textContent = Math.max(...file.field.grid.rows.map((r) => [...r].length));
  }
  panel.show($("panel"), file, change, (k) => `${k}: ${woodName(file.stock[k].species)}`);
  const b = file.borders && file.borders[0];
  $("border").checked = Boolean(b);
  if (b) {
    $("border-grain").value = b.grain;
    const mm = inch() ? 25.4 * parseFloat(b.width) : parseFloat(b.width);
    if (Number.isFinite(mm)) $("border-width").value = mm;
  }
  $("home").value = typeof file.home === "string" ? file.home : "";
  if (document.activeElement !== $("text")) $("text").value = files.write(file);
  outputs();
}

// hold takes a stock in hand.
export function hold(k) {
  table.key = k;
  tell("stock");
}

const setBorder = () => change((f) => files.border(f, $("border").checked ? $("border-grain").value : "", inFile(Number($("border-width").value)), table.key));

// slide puts a slider through; quick is given for one that leaves the outlines of the
// pieces as they are, and shows at once what of it needs no answer.
function slide(id, edit, quick) {
  let gesture = { keepsOutlines: Boolean(quick) };
  $(id).addEventListener("input", () => {
    if (quick) quick();
    change(edit, gesture);
    outputs();
  });
  $(id).addEventListener("change", () => {
    gesture = { keepsOutlines: Boolean(quick) };
    rest();
  });
}

for (const b of document.querySelectorAll("[data-grid]")) b.onclick = () => change((f) => files.resize(f, b.dataset.grid));
$("undo").onclick = undo;
$("redo").onclick = redo;
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || /^(TEXTAREA|INPUT)$/.test(event.target.tagName) && event.target.type !== "range") return;
  if (event.key === "z" && !event.shiftKey) undo();
  else if (event.key === "y" || event.key === "Z") redo();
  else return;
  event.preventDefault();
});
$("palette").addEventListener("keydown", (event) => {
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  if (!step) return;
  const keys = Object.keys(table.file.stock);
  hold(keys[(keys.indexOf(table.key) + step + keys.length) % keys.length]);
  const now = $("palette").querySelector('[aria-checked="true"]');
  if (now) now.focus();
  event.preventDefault();
});
$("add-stock").onclick = () => change((f) => {
  const k = files.letter(f);
  if (!k) return false;
  f.stock[k] = { ...f.stock[table.key] };
  table.key = k;
});
slide("ring", (f) => { f.stock[table.key].ring_angle = Number($("ring").value); delete f.stock[table.key].pith; }, () => {
  const { file } = table;
  if (file.field.slices) return; // turned slices turn the other way
  for (const p of table.report.pieces) {
    if (p.stock === table.key && p.grain_up && !(file.pieces && file.pieces[p.id])) glued.turned(p.id, Number($("ring").value));
  }
});
slide("moisture", (f) => { f.stock[table.key].moisture = Number($("moisture").value); }, () => {});
slide("border-width", (f) => { if (f.borders) for (const b of f.borders) b.width = inFile(Number($("border-width").value)); });
$("wood").onchange = () => change((f) => { f.stock[table.key].species = $("wood").value; delete f.stock[table.key].colour; });
$("border").onchange = setBorder;
$("border-grain").onchange = () => { if ($("border").checked) setBorder(); };
$("home").onchange = () => change((f) => {
  if ($("home").value) f.home = $("home").value;
  else delete f.home;
});

// fill offers the woods and homes that the service knows.
export function fill(woods, homes) {
  const options = woods.map((w) => {
    const o = el("option", w.common_name);
    o.value = w.id;
    return o;
  });
  const own = el("option", "as the file says");
  own.value = "";
  own.disabled = true;
  $("wood").replaceChildren(own, ...options);
  $("home").append(...homes.map((c) => {
    const o = el("option", c.name);
    o.value = c.key;
    return o;
  }));
}
