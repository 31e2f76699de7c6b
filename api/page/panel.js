// The panel that slices are cut from: its strips, how many slices, how they are turned.
import { el } from "/page/elements.js";
import * as files from "/page/boardfile.js";

const turns = [["none", "as they come", "AB AB"], ["end-for-end", "every other one end for end", "AB BA"], ["over", "every other one over", "AB A\u2032B\u2032"], ["both", "every other one over and end for end", "AB B\u2032A\u2032"]];

function field(label, input) {
  const l = el("label", label);
  l.append(input);
  return l;
}

function button(text, label, act, off) {
  const b = el("button", text, "second small");
  b.type = "button";
  b.setAttribute("aria-label", label);
  b.disabled = Boolean(off);
  b.onclick = act;
  return b;
}

// show fills the section: the board's panel, or the way to one. change puts an edit
// through, name tells a stock.
export function show(section, file, change, name) {
  const held = document.activeElement && section.contains(document.activeElement) ? document.activeElement.dataset.part : "";
  section.replaceChildren(...(files.isSliced(file) ? editor(file, change, name) : opener(file, change)));
  const again = held && section.querySelector(`[data-part="${CSS.escape(held)}"]`);
  if (again) again.focus();
}

function opener(file, change) {
  if (!files.isGrid(file)) return [];
  const b = el("button", "Build it of slices from a panel", "second");
  b.type = "button";
  b.dataset.part = "build";
  b.onclick = () => change((f) => files.toSlices(f));
  const p = el("p", undefined, "row");
  p.append(b);
  return [p];
}

function editor(file, change, name) {
  const s = file.field.slices, list = el("ol", undefined, "strips");
  s.strips.forEach((strip, i) => {
    const li = el("li"), stock = el("select"), wide = el("input");
    for (const k of Object.keys(file.stock).slice(0, 200)) {
      const o = el("option", name(k));
      o.value = k;
      stock.append(o);
    }
    stock.value = strip[0];
    stock.dataset.part = `stock-${i}`;
    stock.setAttribute("aria-label", `Stock of strip ${i + 1}`);
    stock.onchange = () => change((f) => { f.field.slices.strips[i].splice(0, 3, stock.value, strip[1]); });
    wide.type = "text";
    wide.inputMode = "decimal";
    wide.size = 6;
    wide.value = strip[1];
    wide.dataset.part = `wide-${i}`;
    wide.setAttribute("aria-label", `Width of strip ${i + 1}, ${file.units}`);
    wide.onchange = () => change((f) => { f.field.slices.strips[i][1] = files.lengthOf(wide.value); });
    const move = (by, text, word) => {
      const b = button(text, `strip ${i + 1} ${word}`, () => change((f) => {
        const l = f.field.slices.strips;
        [l[i], l[i + by]] = [l[i + by], l[i]];
      }), i + by < 0 || i + by >= s.strips.length);
      b.dataset.part = `${word}-${i}`;
      return b;
    };
    li.append(stock, wide, move(-1, "←", "further left"), move(1, "→", "further right"),
      button("×", `take strip ${i + 1} out`, () => change((f) => { f.field.slices.strips.splice(i, 1); }), s.strips.length < 2));
    list.append(li);
  });
  const add = button("+ strip", "another strip on the right", () => change((f) => { f.field.slices.strips.push([...f.field.slices.strips.at(-1)]); }), s.strips.length >= 60);
  add.dataset.part = "add";
  const count = el("input"), high = el("input"), turn = el("select");
  Object.assign(count, { type: "number", min: 1, max: 60, value: s.count });
  count.dataset.part = "count";
  count.onchange = () => change((f) => { f.field.slices.count = Number(count.value); });
  Object.assign(high, { type: "text", inputMode: "decimal", size: 6, value: s.height });
  high.dataset.part = "high";
  high.onchange = () => change((f) => { f.field.slices.height = files.lengthOf(high.value); });
  for (const [key, text, sign] of turns) {
    const o = el("option", `${text} (${sign})`);
    o.value = key;
    turn.append(o);
  }
  turn.value = s.turn;
  turn.dataset.part = "turn";
  turn.onchange = () => change((f) => { f.field.slices.turn = turn.value; });
  const row = el("p", undefined, "row");
  row.append(field("Slices ", count), field(`Thickness of the panel (${file.units}) `, high));
  const turned = el("p", undefined, "row");
  turned.append(field("Turn ", turn));
  return [el("p", `Strips of the panel, left to right, widths in ${file.units}:`), list, add, row, turned];
}
