// Shows what the service answered: the drawing, the word, why, every way to fail, mishaps.
import { deriving } from "/page/deriving.js";
import { Scene, sideView, svg, width } from "/page/drawing.js";
import { el } from "/page/elements.js";
import { $, best, byRoom, colourOf, date, day, labelOf, length, on, percent, room, roomState, roomTemperature, signed, table } from "/page/table.js";

export const glued = new Scene($("board")), loose = new Scene($("unglued"), { loose: true });

on("answer", () => draw(true));
on("shape", () => draw(false));
on("estimate", () => { paint(); verdict(); });
on("year", () => { verdict(); paint(); told(); });
on("look", () => { paint(); verdict(); });

// told is what stands below the board.
function told() {
  modes();
  mishaps();
  why();
  notices();
}

function draw(rebuild) {
  const { report } = table;
  if (!report) return;
  if (rebuild) {
    const ids = new Set(report.pieces.map((p) => p.id));
    if (table.shape && (table.shape.pieces.length !== ids.size || table.shape.pieces.some((s) => !ids.has(s.id)))) table.shape = null; // it is of other pieces
    const hadFocus = document.activeElement && document.activeElement.closest("#board .piece");
    glued.build(report, colourOf);
    loose.build(report, colourOf);
    if (!glued.pieces.has(table.focused)) table.focused = report.pieces[0].id;
    for (const [, e] of glued.pieces) e.g.setAttribute("aria-label", labelOf(e.piece));
    glued.pieces.get(table.focused).g.setAttribute("tabindex", "0");
    if (hadFocus) glued.pieces.get(table.focused).g.focus({ preventScroll: true });
  }
  if (table.shape) {
    if (!table.times) choose();
    glued.move(table.shape, table.times);
    if (!$("loose").hidden) loose.move(table.shape, table.times);
  }
  paint();
  verdict();
  if (!rebuild) return;
  told();
  keyOfLines();
}

// choose takes a round exaggeration at which the board's growth is seen.
function choose() {
  const { report, shape } = table;
  let most = 0;
  for (const p of shape.pieces) p.from.forEach((q, k) => { most = Math.max(most, Math.hypot(p.to[k][0] - q[0], p.to[k][1] - q[1])); });
  table.times = Math.max(1, Math.min(60, Math.round((0.045 * Math.max(report.width, report.height)) / Math.max(most, 0.01))));
  $("times").value = table.times;
  outputs();
}

function paint() {
  if (!table.report) return;
  if (byRoom() && table.shape && table.shape.joints) {
    const u = new Map(table.shape.joints.map((j) => [j.id, j])), s = roomState();
    glued.paint((j) => [(u.get(j.id) || j).utilisation, (u.get(j.id) || j).verdict], s ? s.worst : "");
    return;
  }
  const u = new Map(best().joints.map((j) => [j.id, j]));
  glued.paint((j) => [(u.get(j.id) || j).utilisation, (u.get(j.id) || j).verdict], best().worst ? best().worst.joint : "");
}

// figureOf is the figure of the way to fail that gives the word.
function figureOf(b) {
  const o = b.modes.find((m) => m.mode === b.mode);
  return o && o.figure !== undefined ? o.figure : b.utilisation;
}

function verdict() {
  if (!table.report) return;
  const b = best(), s = roomState();
  let word = b.verdict, u = figureOf(b), line = b.headline;
  if (byRoom() && s) {
    word = s.verdict;
    u = s.utilisation;
    line = `Settled in ${room()} % humidity at ${roomTemperature} °C its worst place${s.worst ? `, ${s.worst},` : ""} carries ${percent(u)} of what it bears.`;
  }
  $("verdict").textContent = `${table.estimated ? "about " : ""}${word}, ${percent(u)}`;
  $("verdict").className = `verdict ${word}`;
  $("headline").textContent = line;
  $("stage-note").textContent = byRoom() ? `Over its year: ${b.verdict}, ${percent(figureOf(b))}.` : table.year ? "" : "Settled air so far; its year of use is being worked out.";
  if (s) roomWords(`Settled in this room: ${signed(s.width_change)} in width, ${signed(s.height_change)} in height; ${s.verdict}, ${percent(s.utilisation)}. `);
  outputs();
}

let saidOfRoom = ""; // what stands there
function roomWords(words) {
  if (words === saidOfRoom) return; // at every frame of a slider
  saidOfRoom = words;
  $("room-words").replaceChildren(words, deriving("size@room", "derive its size"));
}

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
  if ((b.causes || []).length) $("why").append(" ", deriving("causes", "derive the shares", "Derive the shares of the causes"));
}

// modes lists every way to fail with its figure and range; each opens its numbers. Over
// the year only: settled air knows no end that drinks and no face that dries.
function modes() {
  const b = table.year;
  $("modes").replaceChildren(...(b ? b.modes : []).filter((o) => o.figure !== undefined).map((o) => {
    const li = el("li"), bar = el("span", undefined, "bar"), words = el("span");
    bar.style.setProperty("--share", Math.min(1, o.figure));
    words.append(el("strong", `${o.name}: ${o.verdict}`, o.verdict), o.figure > 0 ? `${o.high > o.low ? `, ${percent(o.low)} to ${percent(o.high)}` : ""}${o.gap ? `, ${length(o.gap, 1)} off a flat top` : ""}${o.counts ? "" : " (told, not counted)"} ` : " ");
    if (o.figure > 0) words.append(deriving(o.mode));
    li.append(el("span", percent(o.figure), "number"), bar, words);
    return li;
  }));
  $("chance").replaceChildren();
  if (b && b.chance && b.chance.board !== undefined) {
    $("chance").append(`${b.chance.text.split(". ")[0]}. `, deriving("chance"));
  }
  if (b) $("chance").append(` Size over the year: ${length(b.size.width_min)} to ${length(b.size.width_max)} wide, ${length(b.size.height_min)} to ${length(b.size.height_max)} high. `, deriving("size"));
}

function mishaps() {
  const { year, events } = table, list = year ? (year.exposures || []).filter((e) => e.mishap) : [];
  list.sort((a, b) => b.index - a.index);
  $("mishaps").replaceChildren(...list.map((e) => {
    const li = el("li", undefined, e.verdict), k = events.get(e.event);
    li.append(sideView(year, e), el("p", `${e.verdict}, ${percent(e.index)}`), el("p", k ? k.name : e.event, "what"));
    if (k) li.title = k.text;
    if (e.index > 0) li.append(deriving(`worst@${e.name}`, "derive", `Derive what ${k ? k.name : e.event} does`));
    return li;
  }));
  if (!list.length) $("mishaps").append(el("li", table.report ? "being worked out" : "", "soft"));
}

function notices() {
  const list = best().notices || [];
  $("notices").hidden = list.length === 0;
  $("notice-list").replaceChildren(...list.map((n) => el("li", `${n.pointer}: ${n.text}`)));
}

// outputs tells what the sliders stand at.
export function outputs() {
  $("humidity-out").textContent = `${room()} %`;
  $("times-out").textContent = `${$("times").value} times`;
  $("ring-out").textContent = `${$("ring").value}°`;
  $("moisture-out").textContent = `${$("moisture").value} %`;
  $("border-out").textContent = table.file ? length(Number($("border-width").value), table.file.units === "in" ? 1 : 0) : "";
  $("day-out").textContent = date(day());
  $("board-words").textContent = `glued, ${table.onDay ? `on ${date(day())} of a year at home` : `settled in ${room()} % humidity`}; movement drawn ${table.times || 1} times larger, dashed: as it was made`;
  $("loose-words").textContent = `unglued: each piece at its own free size, drawn ${table.times || 1} times larger. What differs here, the glue must bear.`;
}

// keyOfLines tells what the lines of the joints mean: where less is known of a board its
// words begin at smaller figures.
function keyOfLines() {
  const { tight, doubtful, fails } = table.report.words_from;
  $("key").replaceChildren(...[["holds", tight / 2, `below ${percent(tight)}`], ["tight", (tight + doubtful) / 2, `from ${percent(tight)}`], ["doubtful", (doubtful + fails) / 2, `from ${percent(doubtful)}`], ["fails", 1.3 * fails, `from ${percent(fails)}`]].map(([word, u, range]) => {
    const li = el("li"), s = svg("svg", { viewBox: "0 0 40 10", "aria-hidden": "true" });
    s.append(svg("path", { class: "joint under", d: "M1 5H39", "stroke-width": width(u) + 1.6 }), svg("path", { class: `joint ${word}`, d: "M1 5H39", "stroke-width": width(u) }));
    if (word === "fails") s.append(svg("path", { class: "joint core", d: "M1 5H39", "stroke-width": width(u) * 0.34 }));
    li.append(s, el("span", `${word}, ${range}`));
    return li;
  }));
}

