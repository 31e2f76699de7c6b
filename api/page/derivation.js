// Writes a derivation: formulas as MathML, their numbers and the printed works.
import { el } from "/page/elements.js";

// figures tells a number of any size in four figures.
export function figures(v) {
  if (v !== 0 && (Math.abs(v) < 1e-3 || Math.abs(v) >= 1e6)) {
    const [m, e] = v.toExponential(3).split("e");
    return `${m}·10^${Number(e)}`.replace("-", "−");
  }
  return String(Number(v.toPrecision(4))).replace("-", "−");
}

// symbol sets what follows an underscore low.
function symbol(text) {
  const [base, index] = text.split("_"), v = el("var", base);
  if (index) v.append(el("sub", index));
  return v;
}

const unit = (u) => (u === "1" ? "" : ` ${u}`);

// formula takes MathML as elements; nothing but MathML is let in.
function formula(text) {
  const doc = new DOMParser().parseFromString(text, "application/xml"), space = "http://www.w3.org/1998/Math/MathML";
  const all = [doc.documentElement, ...doc.documentElement.querySelectorAll("*")];
  if (all.some((e) => e.namespaceURI !== space)) return null;
  const m = document.importNode(doc.documentElement, true);
  m.setAttribute("display", "block");
  return m;
}

const source = (key) => {
  const a = el("a", key);
  a.href = `#source-${key}`;
  return a;
};

function input(n) {
  const li = el("li");
  li.append(symbol(n.symbol), ` = ${figures(n.value)}${unit(n.unit)}`);
  if (n.note) li.append(`, ${n.note}`);
  if (n.step) {
    const a = el("a", "from above");
    a.href = `#step-${encodeURIComponent(n.step)}`;
    li.append("; ", a);
  }
  if (n.source) li.append("; ", source(n.source), n.status ? ` (${n.status})` : "");
  return li;
}

function step(s) {
  const li = el("li", undefined, s.formula ? "step" : "step solved");
  li.id = `step-${encodeURIComponent(s.id)}`;
  li.append(el("h3", s.name));
  if (s.mathml) {
    const m = formula(s.mathml), box = el("div", undefined, "formula");
    box.tabIndex = 0; // wide formulas scroll
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", s.formula);
    box.append(m || s.formula);
    li.append(box);
  }
  const p = el("p", undefined, "result");
  p.append(symbol(s.result.symbol), ` = ${figures(s.result.value)}${unit(s.result.unit)}`);
  if (s.note) p.append(el("span", `, ${s.note}`, "soft"));
  li.append(p);
  if (s.inputs.length) {
    const list = el("ul", undefined, "inputs");
    list.append(...s.inputs.map(input));
    li.append(list);
  }
  if (s.sources.length) {
    const from = el("p", "Formula: ", "small");
    s.sources.forEach((k, i) => from.append(...(i ? [", ", source(k)] : [source(k)])));
    li.append(from);
  }
  return li;
}

function comparison(list) {
  const table = el("table"), head = el("tr");
  table.append(el("caption", "The sum by hand, two strips held straight, beside the solver on the whole board"));
  for (const [text, number] of [["what"], ["by hand", true], ["solver", true], ["difference", true], ["why"]]) {
    const th = el("th", text, number ? "number" : undefined);
    th.scope = "col";
    head.append(th);
  }
  const body = el("tbody"), top = el("thead");
  top.append(head);
  for (const c of list) {
    const tr = el("tr");
    const off = c.hand ? `${c.solver >= c.hand ? "+" : "−"}${Math.abs(Math.round(100 * (c.solver / c.hand - 1)))} %` : "";
    tr.append(el("td", c.what), el("td", figures(c.hand) + unit(c.unit), "number"), el("td", figures(c.solver) + unit(c.unit), "number"), el("td", off, "number"), el("td", c.why));
    body.append(tr);
  }
  table.append(top, body);
  const box = el("div", undefined, "wide");
  box.tabIndex = 0;
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", "By hand and by the solver");
  box.append(table);
  return box;
}

// show fills a section with a derivation.
export function show(section, d) {
  const steps = el("ol", undefined, "steps"), works = el("dl", undefined, "works");
  let part = "";
  for (const s of d.steps) {
    if (s.part && s.part !== part) steps.append(el("li", s.part, "part"));
    part = s.part;
    steps.append(step(s));
  }
  for (const c of d.sources) {
    const dt = el("dt", c.key), dd = el("dd", c.text);
    dt.id = `source-${c.key}`;
    if (c.link) dd.append(` ${c.link}`);
    works.append(dt, dd);
  }
  section.replaceChildren(el("p", d.text));
  if (d.compare.length) section.append(comparison(d.compare));
  section.append(steps);
  if (d.steps.length) {
    section.append(el("p", `Every formula was worked out again from the numbers under it; the largest difference from the program's own is ${figures(100 * d.difference)} %.`, "small"),
      el("h3", "Sources"), works);
  }
}
