// What lies on the bench, and who is told when it changes. Nothing here draws or asks.

export const $ = (id) => document.getElementById(id);
export const percent = (u) => `${Math.round(100 * u)} %`.replace("-", "−");

export const table = {
  woods: new Map(), // by id
  events: new Map(), // exposures by key
  file: null, // the board as it stands, that the service has read
  report: null, // its answer in settled air
  year: null, // its whole answer, once that is there
  shape: null, // how it is drawn
  key: "", // stock in hand
  tool: "paint",
  focused: "", // id of the piece with the focus
  version: 0, // of the board; answers of an older one are dropped
  onDay: false, // the shape drawn is that of the day slider
  times: 0, // exaggeration; 0 until one has been chosen
  moving: false, // a gesture is under way that leaves the outlines as they are
  estimated: false, // the report is a guess while it moves
};

// Kinds of news: "edit" the file is another, "answer" settled air was judged, "estimate"
// of a gesture, "shape" another shape is to be drawn, "year" all was judged, "look" what
// is shown was chosen otherwise, "stock" another stock is in hand, "refused" the service
// refused with {err, text, fromFile}.
const heard = new EventTarget();
export const on = (kind, then) => heard.addEventListener(kind, (e) => then(e.detail));
export const tell = (kind, detail) => heard.dispatchEvent(new CustomEvent(kind, { detail }));

export const roomTemperature = 21; // °C, of the slider's room
export const room = () => Number($("humidity").value);
export const air = () => `room=${room()}@${roomTemperature}`;
export const byRoom = () => $("when-room").checked;
export const day = () => Number($("day").value);

export const best = () => table.year || table.report;
export const roomState = () => table.report.states.find((s) => s.name === "room");
export const text = () => JSON.stringify(table.file);
export const inch = () => table.file.units === "in";
export const inFile = (mm) => (inch() ? Math.round((mm / 25.4) * 1000) / 1000 : mm);
export const length = (mm, digits = 2) => (inch() ? `${(mm / 25.4).toFixed(digits + 1)} in` : `${mm.toFixed(digits)} mm`).replace("-", "−");
export const signed = (mm) => (mm < 0 ? "" : "+") + length(mm);

export const woodName = (id) => (table.woods.get(id) || { common_name: id }).common_name;
export function colourOfStock(stock, species) {
  if (stock && /^#[0-9a-f]{6}$/i.test(stock.colour || "")) return stock.colour;
  const w = table.woods.get(species) || table.woods.get((stock && stock.species) || "");
  return w && /^#[0-9a-f]{6}$/i.test(w.colour) ? w.colour : "#c9a97a";
}
export const colourOf = (p) => colourOfStock(table.file.stock[p.stock], p.species);

// ringOf is the ring angle of a piece as the file has it now; the report may be of an
// edit before.
export function ringOf(id) {
  const own = table.file.pieces && table.file.pieces[id] && table.file.pieces[id].ring_angle;
  return typeof own === "number" ? own : table.report.pieces.find((p) => p.id === id).ring_angle;
}

export const labelOf = (p) => `${p.id}, ${woodName(p.species)}, ${p.grain_up ? "end grain" : "long grain"}, rings ${Math.round(p.ring_angle)}°, stock ${p.stock}`;

// date is a day of the year at home in words.
const firstMonth = 7; // its exposure begins on the first of July
export function date(d) {
  const at = new Date(Date.UTC(2001, firstMonth - 1, 1 + d)); // any year that is no leap year
  return at.toLocaleDateString("en-GB", { day: "numeric", month: "long", timeZone: "UTC" });
}
