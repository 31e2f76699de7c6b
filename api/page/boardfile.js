// Edits of a board file, its way into a link, and the place of a pointer in its text.

export const clone = (file) => structuredClone(file);

// write makes text with one row of blocks a line, as people write it.
export const write = (file) => JSON.stringify(file, null, 2).replace(/\[\s+(-?[\d.]+),\s+(-?[\d.]+)\s+\]/g, "[$1, $2]");

const cell = /^r(\d+)c(\d+)$/;

export const isGrid = (file) => Boolean(file.field && file.field.grid);

export const isSliced = (file) => Boolean(file.field && file.field.slices);

// lengthOf reads what was typed: a number in the file's units, or a text such as "1 1/2".
export const lengthOf = (text) => (/^\s*\d+([.,]\d+)?\s*$/.test(text) ? Number(text.replace(",", ".")) : text.trim());

// toSlices makes the first row of a grid the panel of a field of slices.
export function toSlices(file) {
  const g = file.field.grid, keys = keysOf(g.rows[0]);
  if (keys.some((k) => !(k in file.stock))) return false; // tiles are no strips
  const wide = (i) => (g.block ? g.block[0] : g.columns[i % g.columns.length]);
  file.field = { slices: { strips: keys.map((k, i) => [k, wide(i)]), height: g.block ? g.block[1] : g.row_heights[0], count: g.rows.length, turn: "end-for-end" } };
  delete file.tiles;
  for (const id of Object.keys(file.pieces || {})) if (cell.test(id)) without(file, id);
  return true;
}

// letter is a free key of one letter for a further stock.
export function letter(file) {
  for (const c of "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") {
    if (!(c in file.stock) && !(file.tiles && c in file.tiles)) return c;
  }
  return null;
}

const keysOf = (row) => (typeof row === "string" ? [...row] : [...row]);
const rowOf = (keys) => (keys.every((k) => [...k].length === 1) ? keys.join("") : keys);

function without(file, id) {
  if (!file.pieces) return;
  delete file.pieces[id];
  if (Object.keys(file.pieces).length === 0) delete file.pieces;
}

// paint gives one piece another stock.
export function paint(file, id, key) {
  const at = cell.exec(id);
  if (at && isGrid(file)) {
    const row = file.field.grid.rows[at[1] - 1], keys = keysOf(row);
    keys[at[2] - 1] = key;
    file.field.grid.rows[at[1] - 1] = rowOf(keys);
    const rings = file.field.grid.rings;
    if (rings && rings[at[1] - 1]) rings[at[1] - 1][at[2] - 1] = null;
    without(file, id);
    return;
  }
  file.pieces = file.pieces || {};
  file.pieces[id] = { stock: key };
}

// turn sets the rings of one piece as it lies, degrees.
export function turn(file, id, angle) {
  file.pieces = file.pieces || {};
  const own = (file.pieces[id] = file.pieces[id] || {});
  delete own.pith;
  own.ring_angle = ((Math.round(angle) % 180) + 180) % 180;
}

const shortest = 1, longest = 40;

// resize adds or takes away the last row or column of a grid.
export function resize(file, what) {
  const g = file.field.grid, rows = g.rows.map(keysOf);
  const wide = Math.max(...rows.map((r) => r.length));
  const list = (key, grow) => {
    if (!g[key]) return;
    if (grow) g[key].push(g[key].at(-1));
    else g[key].pop();
  };
  switch (what) {
    case "row+":
      if (rows.length >= longest) return false;
      rows.push([...rows[Math.max(0, rows.length - 2)]]);
      list("row_heights", true);
      if (g.rings) g.rings.push([...g.rings[Math.max(0, g.rings.length - 2)]]);
      if (Array.isArray(g.stagger)) g.stagger.push(g.stagger[Math.max(0, g.stagger.length - 2)]);
      break;
    case "row-":
      if (rows.length <= shortest) return false;
      rows.pop();
      list("row_heights", false);
      if (g.rings) g.rings.pop();
      if (Array.isArray(g.stagger)) g.stagger.pop();
      break;
    case "col+":
      if (wide >= longest) return false;
      for (const r of rows) r.push(r[Math.max(0, r.length - 2)]);
      list("columns", true);
      for (const r of g.rings || []) r.push(r[Math.max(0, r.length - 2)]);
      break;
    case "col-":
      if (wide <= shortest) return false;
      for (const r of rows) r.pop();
      list("columns", false);
      for (const r of g.rings || []) r.pop();
      break;
  }
  g.rows = rows.map(rowOf);
  for (const id of Object.keys(file.pieces || {})) {
    const at = cell.exec(id);
    if (at && (at[1] > rows.length || at[2] > (rows[at[1] - 1] || []).length)) without(file, id);
  }
  return true;
}

// border puts one border round the board, or takes all away (grain "").
export function border(file, grain, width, stock) {
  for (const id of Object.keys(file.pieces || {})) if (/^b\d/.test(id)) without(file, id);
  if (!grain) {
    delete file.borders;
    return;
  }
  file.borders = [{ stock, grain, width, sides: ["left", "right", "top", "bottom"] }];
}

// ---- links ----

const b64 = (bytes) => btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join("")).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
const unb64 = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
const through = async (bytes, stream, most) => {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader(), parts = [];
  for (let size = 0; ;) {
    const { done, value } = await reader.read();
    if (done) break;
    if ((size += value.length) > most) {
      await reader.cancel();
      throw new Error("the board in the link is too large");
    }
    parts.push(value);
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
};

export const mostText = 10 << 20; // bytes the service reads

export async function toLink(file) {
  const bytes = new TextEncoder().encode(JSON.stringify(file));
  return "#board=" + b64(await through(bytes, new CompressionStream("deflate-raw"), mostText));
}

// fromLink gives the text of the board in a link, "" when there is none.
export async function fromLink(hash) {
  const m = /^#board=([A-Za-z0-9_-]+)$/.exec(hash);
  if (!m) return "";
  return new TextDecoder().decode(await through(unb64(m[1]), new DecompressionStream("deflate-raw"), mostText));
}

// ---- places ----

// placeOf gives the line and the span of a JSON pointer in a text, or of its
// nearest parent that is there; null when the text is no JSON so far.
export function placeOf(text, pointer) {
  const want = pointer.replace(/^#?\/?/, "").split("/").filter((p) => p !== "").map((p) => decodeURIComponent(p).replace(/~1/g, "/").replace(/~0/g, "~"));
  const tokens = /"(?:[^"\\]|\\.)*"|[{}[\],:]|[^\s{}[\],:"]+/gy;
  let i = 0;
  const all = [];
  for (tokens.lastIndex = 0; ;) {
    while (/\s/.test(text[tokens.lastIndex] || "")) tokens.lastIndex++;
    const from = tokens.lastIndex, m = tokens.exec(text);
    if (!m) break;
    all.push({ s: m[0], from, to: tokens.lastIndex });
  }
  let best = null;
  const value = (depth, on) => { // on: the path so far is that of the pointer
    const t = all[i++];
    if (!t) return null;
    const span = { from: t.from, to: t.to };
    if (on) best = span;
    if (t.s !== "{" && t.s !== "[") return span;
    for (let n = 0; i < all.length && all[i].s !== "}" && all[i].s !== "]"; n++) {
      let key = String(n);
      if (t.s === "{") {
        try { key = JSON.parse(all[i].s); } catch { key = all[i].s; }
        i += 2; // key and colon
      }
      value(depth + 1, on && want[depth] === key);
      if (all[i] && all[i].s === ",") i++;
    }
    if (all[i]) span.to = all[i].to;
    i++;
    return span;
  };
  value(0, true);
  if (!best) return null;
  return { ...best, line: text.slice(0, best.from).split("\n").length };
}
