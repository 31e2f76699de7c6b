// Draws the board, glued and unglued, as SVG elements. Texts go in as text.

const space = "http://www.w3.org/2000/svg";
export function svg(name, attributes, ...children) {
  const e = document.createElementNS(space, name);
  for (const [k, v] of Object.entries(attributes || {})) e.setAttribute(k, v);
  e.append(...children);
  return e;
}

const n3 = (v) => Math.round(v * 1000) / 1000;
const path = (points, close = true) => "M" + points.map((p) => `${n3(p[0])} ${n3(p[1])}`).join("L") + (close ? "z" : "");

export function luminance(hex) {
  const part = (i) => {
    const v = parseInt(hex.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
}

// middle is the centre of gravity of an outline, with half the way to its nearest side.
function middle(o) {
  let area = 0, x = 0, y = 0;
  o.forEach((a, i) => {
    const b = o[(i + 1) % o.length], k = a[0] * b[1] - b[0] * a[1];
    area += k; x += k * (a[0] + b[0]); y += k * (a[1] + b[1]);
  });
  return area ? [x / (3 * area), y / (3 * area)] : o[0];
}

function reach(o, c) {
  let least = Infinity;
  o.forEach((a, i) => {
    const b = o[(i + 1) % o.length], dx = b[0] - a[0], dy = b[1] - a[1], l = Math.hypot(dx, dy);
    if (l > 0) least = Math.min(least, Math.abs(dx * (a[1] - c[1]) - dy * (a[0] - c[0])) / l);
  });
  return least;
}

// rings draws year rings of a piece of end grain, square to the radial axis, or
// the fibres of long grain.
function ringsPath(piece, c, r) {
  const along = piece.grain_up ? piece.ring_angle + 90 : piece.grain_angle;
  const t = (along * Math.PI) / 180, d = [Math.cos(t), Math.sin(t)], out = [d[1], -d[0]];
  let s = "";
  for (const k of [-0.52, -0.17, 0.17, 0.52]) {
    const off = k * r, half = Math.sqrt(Math.max(0, 0.62 * r * r - off * off)), bend = piece.grain_up ? 0.16 * half : 0;
    const at = (u, v) => [c[0] + u * d[0] + v * out[0], c[1] + u * d[1] + v * out[1]];
    const a = at(-half, off), m = at(0, off + 2 * bend), b = at(half, off);
    s += `M${n3(a[0])} ${n3(a[1])}Q${n3(m[0])} ${n3(m[1])} ${n3(b[0])} ${n3(b[1])}`;
  }
  return s;
}

const words = ["holds", "tight", "doubtful", "fails"];
export const width = (u) => 1.2 + 3 * Math.min(u, 1) + Math.min(Math.max(u - 1, 0), 1);

// nodesOn are the numbers of the points that lie on a joint, from its one end to the other.
function nodesOn(j, points) {
  const dx = j.to[0] - j.from[0], dy = j.to[1] - j.from[1], l = Math.hypot(dx, dy), on = [];
  points.forEach((q, k) => {
    const x = q[0] - j.from[0], y = q[1] - j.from[1], s = (x * dx + y * dy) / l;
    if (Math.abs(x * dy - y * dx) / l < 0.02 && s > -0.02 && s < l + 0.02) on.push([s, k]);
  });
  return on.sort((a, b) => a[0] - b[0]).map((o) => o[1]);
}

// Scene keeps the elements of one drawing and moves them.
export class Scene {
  constructor(root, { loose = false } = {}) {
    this.root = root;
    this.loose = loose;
    this.pieces = new Map();
  }

  // build makes the elements of a report's pieces; it is called when pieces change.
  build(report, colourOf) {
    this.report = report;
    this.size = Math.max(report.width, report.height);
    this.pad = 0.075 * this.size;
    const grow = this.loose ? 1.14 : 1;
    this.root.setAttribute("viewBox", [-this.pad - (grow - 1) * report.width / 2, -this.pad - (grow - 1) * report.height / 2,
      grow * report.width + 2 * this.pad, grow * report.height + 2 * this.pad].map(n3).join(" "));
    const flip = svg("g", { transform: `translate(0 ${n3(report.height)}) scale(1 -1)` });
    this.pieces.clear();
    this.painted = ""; // no lines yet
    this.nodes = new Map(); // on every joint
    const wood = svg("g", {});
    for (const p of report.pieces) {
      const c = middle(p.outline), colour = colourOf(p);
      const g = svg("g", { class: "piece", "data-id": p.id });
      const body = svg("path", { class: "wood", d: path(p.outline) }), grain = svg("path", { class: "rings", d: ringsPath(p, c, reach(p.outline, c)) });
      g.append(body, grain);
      if (!this.loose) {
        g.setAttribute("role", "button");
        g.setAttribute("tabindex", "-1");
      }
      wood.append(g);
      this.pieces.set(p.id, { piece: p, centre: c, reach: reach(p.outline, c), g, body, grain });
      this.colour(p.id, colour);
    }
    this.ghost = svg("path", { class: "ghost", d: path([[0, 0], [report.width, 0], [report.width, report.height], [0, report.height]]) });
    this.joints = svg("g", {});
    this.call = svg("g", {});
    flip.append(wood, ...(this.loose ? [] : [this.ghost, this.joints, this.call]));
    this.root.replaceChildren(flip, ...(this.loose ? [] : this.marks(report)));
  }

  // marks number the rows and columns of a grid, so that r4c4 can be found.
  marks(report) {
    const rows = new Map(), columns = new Map();
    for (const p of report.pieces) {
      const at = /^r(\d+)c(\d+)/.exec(p.id);
      if (!at) continue;
      const c = middle(p.outline);
      if (!rows.has(at[1])) rows.set(at[1], c[1]);
      if (at[1] === "1" && !columns.has(at[2])) columns.set(at[2], c[0]);
    }
    const size = 0.035 * this.size, list = [];
    if (rows.size > 30 || columns.size > 30) return list;
    for (const [r, y] of rows) list.push(svg("text", { class: "mark", x: n3(-0.045 * this.size), y: n3(report.height - y), "font-size": n3(size) }, `r${r}`));
    for (const [c, x] of columns) list.push(svg("text", { class: "mark", x: n3(x), y: n3(-0.045 * this.size), "font-size": n3(size) }, `c${c}`));
    return list;
  }

  colour(id, colour) {
    const e = this.pieces.get(id);
    e.body.setAttribute("fill", colour);
    e.g.classList.toggle("dark", luminance(colour) < 0.2);
  }

  // turned shows other rings at once, before the answer is there.
  turned(id, angle) {
    const e = this.pieces.get(id);
    e.grain.setAttribute("d", ringsPath({ ...e.piece, ring_angle: angle }, e.centre, reach(e.piece.outline, e.centre)));
  }

  // move draws a shape, movement `times` larger.
  move(shape, times) {
    this.shape = shape;
    this.times = times;
    const spread = 1.14;
    this.moved = new Map();
    for (const s of shape.pieces) {
      const e = this.pieces.get(s.id);
      if (!e) continue;
      const c = e.centre;
      if (this.loose) {
        const f = s.free, mid = [this.report.width / 2, this.report.height / 2];
        const to = [mid[0] + spread * (c[0] - mid[0]), mid[1] + spread * (c[1] - mid[1])];
        e.body.setAttribute("d", path(e.piece.outline.map((q) => {
          const x = q[0] - c[0], y = q[1] - c[1];
          return [to[0] + x + times * (f.xx * x + 0.5 * f.xy * y), to[1] + y + times * (f.yy * y + 0.5 * f.xy * x)];
        })));
        e.grain.setAttribute("transform", `translate(${n3(to[0] - c[0])} ${n3(to[1] - c[1])})`);
        continue;
      }
      const at = s.from.map((q, k) => [q[0] + times * (s.to[k][0] - q[0]), q[1] + times * (s.to[k][1] - q[1])]);
      this.moved.set(s.id, { from: s.from, at });
      e.body.setAttribute("d", path(at));
      const now = middle(at);
      e.grain.setAttribute("transform", `translate(${n3(now[0] - c[0])} ${n3(now[1] - c[1])})`);
    }
  }

  // along gives the line of a joint as it has moved: the nodes of the first piece on it.
  along(j) {
    const m = this.moved && this.moved.get(j.a);
    if (!m) return [j.from, j.to];
    let on = this.nodes.get(j.id);
    if (!on || on.from !== m.from) this.nodes.set(j.id, (on = { from: m.from, at: nodesOn(j, m.from) })); // the same for every moment
    return on.at.length < 2 ? [j.from, j.to] : on.at.map((k) => m.at[k]);
  }

  // jointNear is the joint within some pixels of a place of the window, "" for none.
  jointNear(x, y, pixels) {
    const g = this.joints && this.joints.getScreenCTM();
    if (!g) return "";
    const at = new DOMPoint(x, y).matrixTransform(g.inverse()), scale = Math.hypot(g.a, g.b);
    let best = "", least = pixels / scale;
    for (const j of this.report.joints) {
      const line = this.along(j);
      for (let i = 1; i < line.length; i++) {
        const [a, b] = [line[i - 1], line[i]], dx = b[0] - a[0], dy = b[1] - a[1], l = dx * dx + dy * dy;
        const s = l ? Math.max(0, Math.min(1, ((at.x - a[0]) * dx + (at.y - a[1]) * dy) / l)) : 0;
        const off = Math.hypot(at.x - a[0] - s * dx, at.y - a[1] - s * dy);
        if (off < least) [best, least] = [j.id, off];
      }
    }
    return best;
  }

  // paint draws the joints by their words; of gives [utilisation, word] of a joint.
  // While they keep their words and their order the lines are moved and not made anew,
  // so that a slider runs at the speed of the screen.
  paint(of, worst) {
    const list = this.report.joints.map((j) => [j, ...of(j)]).sort((a, b) => a[1] - b[1]);
    const key = list.map(([j, , word]) => j.id + word).join();
    if (key !== this.painted) this.lay(list, key);
    list.forEach(([j, u], i) => {
      const w = n3(Math.min(width(u), 0.7 * this.scale * Math.min(this.pieces.get(j.a).reach, this.pieces.get(j.b).reach))); // an inlay stays in sight
      const d = path(this.along(j), false), [under, over, core] = this.lines[i];
      for (const e of this.lines[i]) e.setAttribute("d", d);
      under.setAttribute("stroke-width", n3(w + 0.4 * Math.min(w, 4)));
      over.setAttribute("stroke-width", w);
      if (core) core.setAttribute("stroke-width", n3(w * 0.34));
    });
    this.ring(this.report.joints.find((k) => k.id === worst));
  }

  // lay makes the lines of the joints, the worst on top.
  lay(list, key) {
    const under = svg("g", {}), over = svg("g", {});
    this.painted = key;
    this.scale = this.root.getBoundingClientRect().width / this.root.viewBox.baseVal.width || 1; // px a mm
    this.lines = list.map(([j, , word]) => {
      const known = words.includes(word) ? word : "holds", line = [svg("path", { class: "joint under" }), svg("path", { class: `joint ${known}`, "data-joint": j.id })];
      if (known === "fails") line.push(svg("path", { class: "joint core" }));
      under.append(line[0]);
      over.append(...line.slice(1));
      return line;
    });
    this.joints.replaceChildren(under, over);
  }

  // ring marks the worst joint.
  ring(j) {
    this.call.replaceChildren();
    if (!j) return;
    const line = this.along(j), a = line[0], b = line.at(-1), c = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    const r = Math.hypot(b[0] - a[0], b[1] - a[1]) / 2 + 0.02 * this.size;
    const turn = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    for (const kind of ["worst back", "worst"]) {
      this.call.append(svg("ellipse", { class: kind, cx: n3(c[0]), cy: n3(c[1]), rx: n3(r), ry: n3(Math.min(r, 0.03 * this.size)), transform: `rotate(${n3(turn)} ${n3(c[0])} ${n3(c[1])})` }));
    }
  }
}

// sideView is a small picture of a board seen from the side: its cup [mm] over its width.
export function sideView(report, e) {
  const across = Math.min(report.width, report.height), room = 22;
  const most = Math.max(Math.abs(e.cup), Math.abs(e.bow), 0.01), rise = Math.sign(e.cup || e.bow) * Math.min(14, 14 * (most / (0.02 * across)));
  const y = (t) => room + rise * (0.5 - 4 * (t - 0.5) ** 2), top = [], low = [];
  for (let i = 0; i <= 20; i++) {
    const t = i / 20;
    top.push([6 + 88 * t, y(t)]);
    low.unshift([6 + 88 * t, y(t) + 9]);
  }
  const s = svg("svg", { viewBox: "0 0 100 48", role: "img" });
  s.append(svg("title", {}, Math.abs(e.cup) < 0.005 && Math.abs(e.bow) < 0.005 ? "stays flat" : `edges ${(e.cup || e.bow) > 0 ? "up" : "down"}`));
  s.append(svg("path", { d: path([...top, ...low]), fill: "none", stroke: "currentColor", "stroke-width": 2 }));
  if (e.verdict === "fails") s.append(svg("path", { d: `M50 ${n3(y(0.5) - 3)}l3 4l-5 4l5 5l-3 4`, fill: "none", stroke: "currentColor", "stroke-width": 2.4 }));
  return s;
}

// chip is the swatch of a stock: its colour and its rings.
export function chip(colour, stock) {
  const s = svg("svg", { viewBox: "0 0 30 30", "aria-hidden": "true" });
  const up = stock.grain === undefined || stock.grain === "up", ring = typeof stock.ring_angle === "number" ? stock.ring_angle : 0;
  const g = svg("g", { class: luminance(colour) < 0.2 ? "piece dark" : "piece", transform: "translate(0 30) scale(1 -1)" });
  g.append(svg("path", { class: "wood", d: "M0 0H30V30H0z", fill: colour }),
    svg("path", { class: "rings", d: ringsPath({ grain_up: up, ring_angle: ring, grain_angle: up ? 0 : Number(stock.grain) }, [15, 15], 15) }));
  s.append(g);
  return s;
}
