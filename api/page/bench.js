// The bench: a board is drawn, moved, mended. It asks the public API only.
import * as files from "/page/boardfile.js";
import * as service from "/page/service.js";
import * as derivation from "/page/derivation.js";
import * as drawn from "/page/drawn.js";
import * as panel from "/page/panel.js";
import { Motion } from "/page/motion.js";
import { el } from "/page/elements.js";
import { Scene, chip, sideView, svg, width } from "/page/drawing.js";

const $ = (id) => document.getElementById(id);
const percent = (u) => `${Math.round(100 * u)} %`;

const roomTemperature = 21; // °C, of the slider's room
const pause = 700; // ms without an edit before the whole year is asked about

const glued = new Scene($("board")), loose = new Scene($("unglued"), { loose: true });
let woods = new Map(); // by id
let events = new Map(); // exposures by key
let file = null; // the board as it stands, that the service has read
let report = null, year = null, shape = null;
let key = ""; // stock in hand
let tool = "paint", focused = "";
const done = [], undone = []; // texts of boards
let version = 0; // of the board; answers of an older one are dropped
let asked = 0, answered = 0, working = false, began = 0;
let timer = 0;
let onDay = false; // the shape drawn is that of the day slider
let times = 0; // exaggeration; 0 until one has been chosen
let moving = false; // a gesture is under way that leaves the outlines as they are

const room = () => Number($("humidity").value);
const air = () => `room=${room()}@${roomTemperature}`;
const byRoom = () => $("when-room").checked;

// ---- asking ----

// change puts an edit through: at once into the file, then to the service.
// A gesture, such as one pull of a slider, is taken back as a whole.
function change(edit, gesture = {}) {
  const before = JSON.stringify(file), next = files.clone(file);
  if (edit(next) === false) return;
  if (JSON.stringify(next) === before) return;
  if (!gesture.kept) {
    done.push(before);
    if (done.length > 200) done.shift();
    undone.length = 0;
    gesture.kept = true;
  }
  moving = Boolean(gesture.keepsOutlines);
  quiet();
  set(next);
}

// rest ends a gesture: what was asked quickly is asked in full.
function rest() {
  if (!moving) return;
  moving = false;
  controls();
  ask();
}

function set(next) {
  file = next;
  onDay = false;
  version++;
  for (const m of [rooms, days]) m.reset();
  clearRemedies();
  if (!(key in file.stock)) key = Object.keys(file.stock)[0];
  if (!moving) controls();
  ask();
}

function back(from, to) {
  if (from.length === 0) return;
  to.push(JSON.stringify(file));
  set(JSON.parse(from.pop()));
}

function ask() {
  asked++;
  began = began || performance.now();
  clearTimeout(timer);
  if (!working) work();
}

// work answers the latest edit; edits made meanwhile wait for one more round.
async function work() {
  working = true;
  while (answered !== asked) {
    const now = asked, of = version, start = began;
    began = 0;
    const text = JSON.stringify(file);
    try {
      if (moving && report) {
        const r = await service.moving(text, air());
        if (of === version) {
          report = followed(year || report, report, r);
          year = null;
          estimated = true;
          agreed();
          paint();
          verdict();
          repainted(start);
        }
      } else {
        const r = await service.quick(text, air());
        if (of === version) {
          report = r;
          estimated = false;
          year = null;
          agreed();
          draw(true);
          repainted(start);
        }
        if (now !== asked) { // an edit came meanwhile: its shape is the one to draw
          answered = now;
          continue;
        }
        const at = air(), s = await service.shape(text, "room", [at]);
        if (of === version) {
          shape = s;
          draw(false);
          $("board").dataset.moment = at;
        }
      }
    } catch (err) {
      refused(err, text);
    }
    answered = now;
  }
  working = false;
  timer = setTimeout(wholeYear, pause);
}

const repainted = (start) => document.dispatchEvent(new CustomEvent("verdict", { detail: performance.now() - start }));

// followed estimates a report while a finger moves: every joint keeps the share that
// its crack had, over the year where that is known, of its settled stress when the
// board was last judged.
let estimated = false;
const limits = $("key").dataset.limits.split(" ").map(Number);
const wordOf = (u) => ["holds", "tight", "doubtful", "fails"][limits.filter((l) => u >= l).length];
function followed(old, settled, r) {
  const before = new Map(settled.joints.map((j) => [j.id, j.stress])), stress = new Map(r.joints.map((j) => [j.id, j.stress]));
  const joints = old.joints.map((j) => {
    if (!stress.has(j.id)) return j;
    const share = j.share ?? (before.get(j.id) > 0 ? j.utilisation / before.get(j.id) : 1), u = share * stress.get(j.id);
    return { ...j, share, utilisation: u, verdict: wordOf(u) };
  });
  const worst = joints.reduce((a, b) => (b.utilisation > a.utilisation ? b : a)), wood = old.woodOnly ?? (old.worst && old.worst.piece ? old.utilisation : 0);
  const u = Math.max(worst.utilisation, wood);
  return { ...old, joints, woodOnly: wood, utilisation: u, verdict: wordOf(u), causes: [], worst: { ...old.worst, joint: worst.id },
    headline: "An estimate while it moves; it is worked out when you let go." };
}

async function wholeYear() {
  const of = version;
  try {
    const r = await service.full(JSON.stringify(file));
    if (of !== version) return;
    year = r;
    verdict();
    paint();
    mishaps();
    why();
    notices();
  } catch (err) {
    if (of === version) refused(err, JSON.stringify(file));
  }
}

// ---- showing ----

const colourOf = (p) => colourOfStock(file.stock[p.stock], p.species);
function colourOfStock(stock, species) {
  if (stock && /^#[0-9a-f]{6}$/i.test(stock.colour || "")) return stock.colour;
  const w = woods.get(species) || woods.get((stock && stock.species) || "");
  return w && /^#[0-9a-f]{6}$/i.test(w.colour) ? w.colour : "#c9a97a";
}
const woodName = (id) => (woods.get(id) || { common_name: id }).common_name;

function draw(rebuild) {
  if (rebuild) {
    const hadFocus = document.activeElement && document.activeElement.closest("#board .piece");
    glued.build(report, colourOf);
    loose.build(report, colourOf);
    if (!glued.pieces.has(focused)) focused = report.pieces[0].id;
    for (const [id, e] of glued.pieces) e.g.setAttribute("aria-label", labelOf(e.piece));
    glued.pieces.get(focused).g.setAttribute("tabindex", "0");
    if (hadFocus) glued.pieces.get(focused).g.focus({ preventScroll: true });
  }
  if (shape) {
    if (!times) choose();
    glued.move(shape, times);
    loose.move(shape, times);
  }
  paint();
  verdict();
  if (rebuild) {
    why();
    mishaps();
    notices();
  }
}

const labelOf = (p) => `${p.id}, ${woodName(p.species)}, ${p.grain_up ? "end grain" : "long grain"}, rings ${Math.round(p.ring_angle)}°, stock ${p.stock}`;

// choose takes a round exaggeration at which the board's growth is seen.
function choose() {
  let most = 0;
  for (const p of shape.pieces) p.from.forEach((q, k) => { most = Math.max(most, Math.hypot(p.to[k][0] - q[0], p.to[k][1] - q[1])); });
  times = Math.max(1, Math.min(60, Math.round((0.045 * Math.max(report.width, report.height)) / Math.max(most, 0.01))));
  $("times").value = times;
  outputs();
}

const best = () => year || report;
const roomState = () => report.states.find((s) => s.name === "room");

function paint() {
  if (!report) return;
  if (byRoom() && shape && shape.joints) {
    const u = new Map(shape.joints.map((j) => [j.id, j])), s = roomState();
    glued.paint((j) => [(u.get(j.id) || j).utilisation, (u.get(j.id) || j).verdict], s ? s.worst : "");
    return;
  }
  const u = new Map(best().joints.map((j) => [j.id, j]));
  glued.paint((j) => [(u.get(j.id) || j).utilisation, (u.get(j.id) || j).verdict], best().worst ? best().worst.joint : "");
}

function verdict() {
  if (!report) return;
  const b = best(), s = roomState();
  let word = b.verdict, u = b.utilisation, line = b.headline;
  if (byRoom() && s) {
    word = s.verdict;
    u = s.utilisation;
    line = `Settled in ${room()} % humidity at ${roomTemperature} °C its worst place${s.worst ? `, ${s.worst},` : ""} carries ${percent(u)} of what it bears.`;
  }
  $("verdict").textContent = `${estimated ? "about " : ""}${word}, ${percent(u)}`;
  $("verdict").className = `verdict ${word}`;
  $("headline").textContent = line;
  $("stage-note").textContent = byRoom() ? `Over its year: ${b.verdict}, ${percent(b.utilisation)}.` : year ? "" : "Settled air so far; its year of use is being worked out.";
  if (s) $("room-words").textContent = `Settled in this room: ${signed(s.width_change)} in width, ${signed(s.height_change)} in height; ${s.verdict}, ${percent(s.utilisation)}.`;
  outputs();
}

const inch = () => file.units === "in";
const signed = (mm) => (inch() ? `${mm < 0 ? "−" : "+"}${Math.abs(mm / 25.4).toFixed(3)} in` : `${mm < 0 ? "−" : "+"}${Math.abs(mm).toFixed(2)} mm`);

function why() {
  const b = best();
  $("why").textContent = b.worst ? `${b.worst.why} What gives: ${b.worst.weakest}. ` : "Nothing is pulled anywhere.";
  if (b.worst && b.worst.joint) $("why").append(deriving(b.worst.joint));
  $("causes").replaceChildren(...(b.causes || []).filter((c) => c.kind === "mechanism").map((c) => {
    const li = el("li"), bar = el("span", undefined, c.share < 0 ? "bar eases" : "bar");
    bar.style.setProperty("--share", Math.min(1, Math.abs(c.share)));
    li.append(el("span", percent(c.share), "number"), bar, el("span", c.name));
    return li;
  }));
}

function mishaps() {
  const list = year ? (year.exposures || []).filter((e) => e.mishap) : [];
  list.sort((a, b) => b.utilisation - a.utilisation);
  $("mishaps").replaceChildren(...list.map((e) => {
    const li = el("li", undefined, e.verdict), k = events.get(e.event);
    li.append(sideView(year, e), el("p", `${e.verdict}, ${percent(e.utilisation)}`), el("p", k ? k.name : e.event, "what"));
    if (k) li.title = k.text;
    return li;
  }));
  if (!list.length) $("mishaps").append(el("li", report ? "being worked out" : "", "soft"));
}

function outputs() {
  $("humidity-out").textContent = `${room()} %`;
  $("times-out").textContent = `${$("times").value} times`;
  $("ring-out").textContent = `${$("ring").value}°`;
  $("moisture-out").textContent = `${$("moisture").value} %`;
  $("border-out").textContent = `${$("border-width").value} mm`;
  $("day-out").textContent = date(day());
  $("board-words").textContent = `glued, ${onDay ? `on ${date(day())} of a year at home` : `settled in ${room()} % humidity`}; movement drawn ${times || 1} times larger, dashed: as it was made`;
  $("loose-words").textContent = `unglued: each piece at its own free size, drawn ${times || 1} times larger. What differs here, the glue must bear.`;
}

// ---- controls ----

function controls() {
  $("undo").disabled = done.length === 0;
  $("redo").disabled = undone.length === 0;
  const stock = file.stock[key];
  $("palette").replaceChildren(...Object.entries(file.stock).slice(0, 60).map(([k, s], i) => {
    const b = el("button");
    b.type = "button";
    b.setAttribute("role", "radio");
    b.setAttribute("aria-checked", String(k === key));
    b.tabIndex = k === key ? 0 : -1;
    b.dataset.stock = k;
    b.append(chip(colourOfStock(s, s.species), s), el("span", `${k}: ${woodName(s.species)}${i < 9 ? ` (${i + 1})` : ""}`));
    b.onclick = () => { key = k; controls(); };
    return b;
  }));
  $("stock-name").textContent = `Stock ${key}`;
  $("wood").value = woods.has(stock.species) ? stock.species : "";
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

const inFile = (mm) => (inch() ? Math.round((mm / 25.4) * 1000) / 1000 : mm);
const setBorder = () => change((f) => files.border(f, $("border").checked ? $("border-grain").value : "", inFile(Number($("border-width").value)), key));

// slide puts a slider through; quick is given for one that leaves the outlines of the
// pieces as they are, and shows at once what of it needs no answer.
function slide(id, edit, quick) {
  let gesture = { keepsOutlines: Boolean(quick) };
  $(id).addEventListener("input", () => {
    if (quick) quick();
    change(edit, gesture);
  });
  $(id).addEventListener("change", () => {
    gesture = { keepsOutlines: Boolean(quick) };
    rest();
  });
}

function choice(of) {
  tool = of;
  for (const b of document.querySelectorAll(".tool")) b.setAttribute("aria-pressed", String(b.dataset.tool === of));
  $("board").classList.toggle("works", of !== "look");
}

function tell(id) {
  const p = report.pieces.find((q) => q.id === id);
  if (!p) return;
  const at = best().joints.filter((j) => j.a === id || j.b === id).sort((a, b) => b.utilisation - a.utilisation)[0];
  $("piece-words").replaceChildren(`${labelOf(p)}. ${at ? `Its worst joint is ${at.id}: ${at.verdict}, ${percent(at.utilisation)}, ${at.how || "quiet"}. ` : ""}`);
  if (at && at.utilisation > 0) $("piece-words").append(deriving(at.id));
}

// deriving is a button that opens the numbers of a joint.
function deriving(id) {
  const b = el("button", "derive its numbers", "second small");
  b.type = "button";
  b.setAttribute("aria-label", `Derive the numbers of ${id}`);
  b.onclick = () => derive(id);
  return b;
}

// derive opens the numbers of a joint step by step.
async function derive(id) {
  const of = version, section = $("derivation");
  section.hidden = false;
  $("derivation-title").textContent = `The numbers of ${id}`;
  $("steps").replaceChildren(el("p", "Being worked out…", "soft"));
  $("derivation-title").focus();
  try {
    const r = await service.explain(JSON.stringify(file), id, byRoom() ? air() : "");
    if (of === version) derivation.show($("steps"), r.derivation);
  } catch (err) {
    if (of === version) $("steps").replaceChildren(el("p", err.message));
  }
}
$("close-derivation").onclick = () => {
  $("derivation").hidden = true;
  const e = glued.pieces.get(focused);
  if (e) e.g.focus();
};

function walk(id) {
  const before = glued.pieces.get(focused);
  if (before) before.g.setAttribute("tabindex", "-1");
  focused = id;
  glued.pieces.get(id).g.setAttribute("tabindex", "0");
}

// near is the next piece in a direction from the focused one.
function near(dx, dy) {
  const from = glued.pieces.get(focused).centre;
  let best = "", least = Infinity;
  for (const [id, e] of glued.pieces) {
    const x = e.centre[0] - from[0], y = e.centre[1] - from[1], ahead = x * dx + y * dy, aside = Math.abs(x * dy - y * dx);
    if (ahead > 0.1 && aside < ahead && ahead + 2 * aside < least) [best, least] = [id, ahead + 2 * aside];
  }
  return best;
}

// ringOf is the ring angle of a piece as the file has it now; the report may be of
// an edit before.
function ringOf(id) {
  const own = file.pieces && file.pieces[id] && file.pieces[id].ring_angle;
  return typeof own === "number" ? own : report.pieces.find((p) => p.id === id).ring_angle;
}

function act(id, gesture) {
  if (tool === "paint") {
    glued.colour(id, colourOfStock(file.stock[key], file.stock[key].species));
    change((f) => files.paint(f, id, key), gesture);
  }
  if (tool === "turn") change((f) => files.turn(f, id, ringOf(id) + 90), gesture);
  tell(id);
}

// ---- pointer and keys on the board ----

let drag = null;
function pieceAt(event) {
  const e = document.elementFromPoint(event.clientX, event.clientY);
  const g = e && e.closest("#board .piece");
  return g ? g.dataset.id : "";
}

$("board").addEventListener("pointerdown", (event) => {
  const id = pieceAt(event);
  if (event.button !== 0) return;
  const line = tool === "look" && glued.jointNear(event.clientX, event.clientY, event.pointerType === "mouse" ? 8 : 16);
  if (line) return derive(line);
  if (!id) return;
  walk(id);
  if (tool === "look") return tell(id);
  event.preventDefault();
  glued.pieces.get(id).g.focus({ preventScroll: true });
  $("board").setPointerCapture(event.pointerId);
  drag = { id, last: "", turned: false, gesture: { keepsOutlines: true }, from: [event.clientX, event.clientY] };
  if (tool === "paint") {
    act(id, drag.gesture);
    drag.last = id;
  }
});
$("board").addEventListener("pointermove", (event) => {
  if (!drag) return;
  if (tool === "paint") {
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
const release = () => {
  if (drag && tool === "turn" && !drag.turned) act(drag.id);
  drag = null;
  rest();
};
$("board").addEventListener("pointerup", release);
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
$("board").addEventListener("keydown", (event) => {
  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (arrows[event.key]) {
    const to = near(...arrows[event.key]);
    if (to) {
      walk(to);
      glued.pieces.get(to).g.focus({ preventScroll: true });
    }
  } else if (event.key === "Enter" || event.key === " ") act(focused);
  else if (event.key === "[" || event.key === "]") change((f) => files.turn(f, focused, ringOf(focused) + (event.key === "[" ? -15 : 15)));
  else if (/^[1-9]$/.test(event.key) && Object.keys(file.stock)[event.key - 1]) {
    key = Object.keys(file.stock)[event.key - 1];
    controls();
  } else return;
  event.preventDefault();
});
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || /^(TEXTAREA|INPUT)$/.test(event.target.tagName) && event.target.type !== "range") return;
  if (event.key === "z" && !event.shiftKey) back(done, undone);
  else if (event.key === "y" || event.key === "Z") back(undone, done);
  else return;
  event.preventDefault();
});

// ---- tools ----

for (const b of document.querySelectorAll(".tool")) b.onclick = () => choice(b.dataset.tool);
for (const b of document.querySelectorAll("[data-grid]")) b.onclick = () => change((f) => files.resize(f, b.dataset.grid));
$("undo").onclick = () => back(done, undone);
$("redo").onclick = () => back(undone, done);
$("palette").addEventListener("keydown", (event) => {
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  if (!step) return;
  const keys = Object.keys(file.stock);
  key = keys[(keys.indexOf(key) + step + keys.length) % keys.length];
  controls();
  const now = $("palette").querySelector('[aria-checked="true"]');
  if (now) now.focus();
  event.preventDefault();
});
$("add-stock").onclick = () => change((f) => {
  const k = files.letter(f);
  if (!k) return false;
  f.stock[k] = { ...f.stock[key] };
  key = k;
});
slide("ring", (f) => { f.stock[key].ring_angle = Number($("ring").value); delete f.stock[key].pith; }, () => {
  if (file.field.slices) return; // turned slices turn the other way
  for (const p of report.pieces) {
    if (p.stock === key && p.grain_up && !(file.pieces && file.pieces[p.id])) glued.turned(p.id, Number($("ring").value));
  }
});
slide("moisture", (f) => { f.stock[key].moisture = Number($("moisture").value); }, () => {});
slide("border-width", (f) => { if (f.borders) for (const b of f.borders) b.width = inFile(Number($("border-width").value)); });
$("wood").onchange = () => change((f) => { f.stock[key].species = $("wood").value; delete f.stock[key].colour; });
$("border").onchange = setBorder;
$("border-grain").onchange = () => { if ($("border").checked) setBorder(); };
$("home").onchange = () => change((f) => {
  if ($("home").value) f.home = $("home").value;
  else delete f.home;
});
for (const id of ["when-year", "when-room"]) $(id).onchange = () => {
  if (byRoom() && onDay) { // the room's own shape again
    onDay = false;
    ask();
  }
  paint();
  verdict();
};
$("times").addEventListener("input", () => { times = Number($("times").value); draw(false); });
$("show-loose").onchange = () => { $("loose").hidden = !$("show-loose").checked; draw(false); };

// ---- room and day: exact answers at rest, drawn between known ones while they move ----

const rooms = new Motion([15, 30, 45, 60, 75, 90], (h) => service.shape(JSON.stringify(file), "room", [`room=${h}@${roomTemperature}`]));
const yearAtHome = "year-at-home", firstMonth = 7; // the day slider's exposure begins on the first of July
const days = new Motion([0, 10, 30, 60, 105, 150, 195, 240, 285, 330, 365], (d) => service.shapeOf(JSON.stringify(file), yearAtHome, 24 * d));
const day = () => Number($("day").value);

// date is the day of the slider in words.
function date(d) {
  const at = new Date(Date.UTC(2001, firstMonth - 1, 1 + d)); // any year that is no leap year
  return at.toLocaleDateString("en-GB", { day: "numeric", month: "long", timeZone: "UTC" });
}

let frame = 0;
// follow draws a slider's shape in the next frame, where it is known.
function follow(motion, at) {
  if (!frame) frame = requestAnimationFrame(() => {
    frame = 0;
    const s = motion.at(at());
    if (s) {
      shape = s;
      draw(false);
    }
  });
}
for (const kind of ["pointerdown", "focus"]) {
  $("humidity").addEventListener(kind, () => rooms.learn(room()));
  $("day").addEventListener(kind, () => days.learn(day()));
}
$("humidity").addEventListener("input", () => {
  $("when-room").checked = true;
  onDay = false;
  outputs();
  follow(rooms, room);
  clearTimeout(timer);
  timer = setTimeout(ask, 120);
});
$("day").addEventListener("input", () => {
  $("when-year").checked = true;
  onDay = true;
  outputs();
  paint();
  verdict();
  follow(days, day);
});
// The day where the slider comes to rest is asked for itself.
$("day").addEventListener("change", async () => {
  const of = version, at = day();
  try {
    const s = await service.shapeOf(JSON.stringify(file), yearAtHome, 24 * at);
    if (of !== version || at !== day() || !onDay) return;
    shape = s;
    draw(false);
    $("board").dataset.moment = `day=${at}`;
  } catch (err) {
    refused(err, JSON.stringify(file));
  }
});

$("play").onclick = async () => {
  const of = version;
  $("play-words").textContent = "Going through the year…";
  try {
    const text = await service.picture(JSON.stringify(file), "year");
    if (of !== version) return;
    const before = $("year").src;
    $("year").src = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
    if (before) URL.revokeObjectURL(before);
    $("year").alt = "The board moving through a year at home, and six moments of it";
    $("year").hidden = false;
    $("play-words").textContent = "";
  } catch (err) {
    $("play-words").textContent = err.message;
  }
};

// ---- mending ----

function clearRemedies() {
  $("derivation").hidden = true;
  $("year").hidden = true;
  $("remedies").replaceChildren();
  $("advise-words").textContent = "";
}

$("advise").onclick = async () => {
  const of = version;
  $("advise-words").textContent = "Trying one change after another…";
  try {
    const a = await service.advice(JSON.stringify(file));
    if (of !== version) return;
    $("advise-words").textContent = a.moves.length ? "The most helpful first; each can be taken back." : "Nothing that was tried helps by a twentieth or more.";
    $("remedies").replaceChildren(...a.moves.map((m) => {
      const li = el("li"), box = el("div", undefined, m.verdict), take = el("button", "Do it");
      take.type = "button";
      take.setAttribute("aria-label", `Do it: ${m.text}`);
      take.onclick = () => {
        done.push(JSON.stringify(file));
        undone.length = 0;
        set(m.board);
        $("undo").focus();
      };
      box.append(el("strong", `${m.verdict}, ${percent(m.utilisation)}`), el("p", `${m.text} Costs: ${m.cost.text}.${m.note ? ` ${m.note}` : ""}`), take);
      li.append(box);
      return li;
    }));
  } catch (err) {
    if (of === version) $("advise-words").textContent = err.message;
  }
};

// ---- faults and questions ----

let ofFile = false; // the faults shown are of a file that was not taken, not of the board

function quiet() {
  $("faults").hidden = true;
}

// agreed takes the board's own faults away; those of a file that was dropped meanwhile stay.
function agreed() {
  if (!ofFile) quiet();
}

function refused(err, text, fromFile = false) {
  if (err.name === "AbortError") return;
  ofFile = fromFile;
  $("faults").hidden = false;
  $("fault-title").textContent = err.title || err.message;
  const list = err.errors && err.errors.length ? err.errors : [{ detail: err.message }];
  $("fault-list").replaceChildren(...list.slice(0, 50).map((f) => {
    const li = el("li"), at = f.pointer && files.placeOf(text, f.pointer);
    li.append(el("strong", f.pointer || f.parameter || "the file"), el("span", `: ${f.detail || ""}${f.found ? `; found ${f.found}` : ""}${f.allowed ? `; allowed: ${f.allowed}` : ""}${f.nearest ? `; near: ${f.nearest.join(", ")}` : ""}. `));
    if (at && $("text").value === text) {
      const show = el("button", `line ${at.line}`, "second");
      show.type = "button";
      show.onclick = () => {
        $("text").closest("details").open = true;
        $("text").focus();
        $("text").setSelectionRange(at.from, at.to);
      };
      li.append(show);
    }
    return li;
  }));
  if (list.length > 50) $("fault-list").append(el("li", `and ${list.length - 50} more`));
}

function notices() {
  const list = best().notices || [];
  $("notices").hidden = list.length === 0;
  $("notice-list").replaceChildren(...list.map((n) => el("li", `${n.pointer}: ${n.text}`)));
}

// ---- files and links ----

// load takes a board file's text; the service is the one that reads it.
let loads = 0; // only the latest that was opened is answered
async function load(text) {
  const mine = ++loads;
  if (text.length > files.mostText) return refused(new service.Refused({ title: "Too large", detail: `a board file has at most ${files.mostText >> 20} MB` }), "", true);
  const shown = text.length <= 400000 ? text : "";
  $("text").value = shown;
  try {
    await service.quick(text, air());
    if (mine !== loads) return false;
    const next = JSON.parse(text);
    if (file) done.push(JSON.stringify(file));
    undone.length = 0;
    times = 0;
    shape = null;
    quiet();
    set(next);
    return true;
  } catch (err) {
    if (mine === loads) refused(err, text, true);
    return false;
  }
}

async function open(f) {
  if (f.size > files.mostText) return ++loads && refused(new service.Refused({ title: "Too large", detail: `${f.name} has ${f.size} bytes; a board file has at most ${files.mostText}` }), "", true);
  const text = await f.text();
  if (!drawn.isDrawing(f.name, text)) return load(text);
  const mine = ++loads;
  try {
    const board = await drawn.ask($("untold"), text, { units: file.units, thickness: file.thickness }, [...woods.values()].sort((a, b) => a.common_name.localeCompare(b.common_name)));
    if (board && mine === loads) await load(board);
  } catch (err) {
    if (mine === loads) refused(err, "", true);
  }
}

$("open").onchange = () => { if ($("open").files[0]) open($("open").files[0]); $("open").value = ""; };
$("load").onclick = () => load($("text").value);
document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("over"); });
document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("over"); });
document.addEventListener("drop", (event) => {
  event.preventDefault();
  document.body.classList.remove("over");
  const f = event.dataTransfer.files[0];
  if (f) open(f);
  else load(event.dataTransfer.getData("text/plain"));
});

function save(name, kind, text) {
  const a = el("a");
  a.href = URL.createObjectURL(new Blob([text], { type: kind }));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 10000);
}
const stem = () => (file.name || "board").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "board";
$("save-board").onclick = () => save(`${stem()}.json`, "application/json", files.write(file) + "\n");
$("save-json").onclick = () => save(`${stem()}-answer.json`, "application/json", JSON.stringify(best(), null, 1));
$("save-svg").onclick = async () => {
  try {
    save(`${stem()}.svg`, "image/svg+xml", await service.picture(JSON.stringify(file), "layout"));
  } catch (err) {
    refused(err, JSON.stringify(file));
  }
};
$("save-png").onclick = async () => {
  try {
    save(`${stem()}.png`, "image/png", await service.png(JSON.stringify(file)));
  } catch (err) {
    refused(err, JSON.stringify(file));
  }
};
for (const [id, part, name] of [["save-card", "card", "care-card"], ["save-plan", "plan", "plan"]]) {
  $(id).onclick = async () => {
    try {
      save(`${stem()}-${name}.html`, "text/html", await service.plan(JSON.stringify(file), part));
    } catch (err) {
      refused(err, JSON.stringify(file));
    }
  };
}
$("share").onclick = async () => {
  const hash = await files.toLink(file);
  history.replaceState(null, "", hash);
  let copied = false;
  try {
    await navigator.clipboard.writeText(location.href);
    copied = true;
  } catch { /* not allowed here: the address bar has it */ }
  $("shared").textContent = copied ? "The link is on the clipboard; the board is all in it." : "The link stands in the address bar; the board is all in it.";
};
$("demo").onclick = async () => load(JSON.stringify(await service.get("/page/demo.json"), null, 2));

async function fromHash() {
  try {
    const lesson = /^#lesson=([a-z-]{1,60})$/.exec(location.hash);
    const text = lesson ? JSON.stringify((await service.get(`/v1/lessons/${lesson[1]}`)).board, null, 2) : await files.fromLink(location.hash);
    return text ? await load(text) : false;
  } catch {
    refused(new service.Refused({ title: "This link holds no whole board", detail: "part of it may have been cut off" }), "");
    return false;
  }
}
window.addEventListener("hashchange", fromHash);

// ---- beginning ----

function keyOfLines() {
  const [tight, doubtful, fails] = limits.map((u) => percent(u));
  $("key").replaceChildren(...[["holds", limits[0] / 2, `below ${tight}`], ["tight", (limits[0] + limits[1]) / 2, `from ${tight}`], ["doubtful", (limits[1] + limits[2]) / 2, `from ${doubtful}`], ["fails", 1.3 * limits[2], `from ${fails}`]].map(([word, u, range]) => {
    const li = el("li"), s = svg("svg", { viewBox: "0 0 40 10", "aria-hidden": "true" });
    s.append(svg("path", { class: "joint under", d: "M1 5H39", "stroke-width": width(u) + 1.6 }), svg("path", { class: `joint ${word}`, d: "M1 5H39", "stroke-width": width(u) }));
    if (word === "fails") s.append(svg("path", { class: "joint core", d: "M1 5H39", "stroke-width": width(u) * 0.34 }));
    li.append(s, el("span", `${word}, ${range}`));
    return li;
  }));
}

async function start() {
  choice(matchMedia("(pointer: coarse)").matches ? "look" : "paint");
  keyOfLines();
  const [list, homes, kinds] = await Promise.all([service.get("/v1/species?limit=500"), service.get("/v1/climates"), service.get("/v1/exposures")]);
  woods = new Map(list.species.map((w) => [w.id, w]));
  events = new Map(kinds.exposures.map((e) => [e.key, e]));
  $("wood").replaceChildren(el("option", "as the file says"), ...[...woods.values()].sort((a, b) => a.common_name.localeCompare(b.common_name)).map((w) => {
    const o = el("option", w.common_name);
    o.value = w.id;
    return o;
  }));
  $("wood").firstChild.value = "";
  $("wood").firstChild.disabled = true;
  $("home").append(...homes.climates.map((c) => {
    const o = el("option", c.name);
    o.value = c.key;
    return o;
  }));
  if (!(await fromHash()) && !file) await load(JSON.stringify(await service.get("/page/demo.json"), null, 2));
}

start().catch((err) => refused(err, ""));
