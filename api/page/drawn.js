// A board from an SVG drawing: its shapes become pieces, and whoever dropped it says
// which wood a colour or a name of it stands for.
import { el } from "/page/elements.js";
import * as service from "/page/service.js";

export const isDrawing = (name, text) => /\.svg$/i.test(name) || /^\s*(<\?xml[^>]*>\s*)?(<!--[\s\S]*?-->\s*)*(<!DOCTYPE[^>]*>\s*)?<svg[\s>]/.test(text.slice(0, 4000));

// untold lists what of a drawing has no wood yet.
const untold = (err) => [...new Set((err.errors || []).filter((f) => f.rule === "missing-key" && f.found && f.found !== "nothing").map((f) => f.found))].slice(0, 40);

// ask turns a drawing into the text of a board file. What the drawing does not tell of
// woods is asked in the section; others of its faults are thrown.
export async function ask(section, text, like, woods, chosen = new Map()) {
  section.hidden = true;
  try {
    const board = await service.outline(text, like.units, like.thickness, [...chosen].map(([k, w]) => `${k}=${w}`));
    return JSON.stringify(board, null, 2);
  } catch (err) {
    const names = untold(err).filter((n) => !chosen.has(n));
    if (names.length === 0) throw err;
    return choose(section, names, woods).then((more) => more && ask(section, text, like, woods, new Map([...chosen, ...more])));
  }
}

// choose asks for the wood of each name; null when it is given up.
function choose(section, names, woods) {
  return new Promise((done) => {
    const list = el("ul", undefined, "untold"), selects = new Map();
    for (const n of names) {
      const li = el("li"), label = el("label", `${n} `), s = el("select");
      if (/^#[0-9a-f]{6}$/i.test(n)) {
        const chip = el("input");
        Object.assign(chip, { type: "color", value: n, disabled: true });
        chip.setAttribute("aria-label", `colour ${n} of the drawing`);
        li.append(chip);
      }
      s.append(...woods.map((w) => {
        const o = el("option", w.common_name);
        o.value = w.id;
        return o;
      }));
      selects.set(n, s);
      label.append(s);
      li.append(label);
      list.append(li);
    }
    const go = el("button", "Take these woods"), no = el("button", "Leave it", "second"), row = el("p", undefined, "row");
    const end = (v) => {
      section.hidden = true;
      section.replaceChildren();
      done(v);
    };
    for (const b of [go, no]) b.type = "button";
    go.onclick = () => end(new Map([...selects].map(([n, s]) => [n, s.value])));
    no.onclick = () => end(null);
    row.append(go, no);
    section.replaceChildren(el("p", "Which woods does the drawing mean?"), list, row);
    section.hidden = false;
    selects.values().next().value.focus();
  });
}
