// Calls of the public API, and nothing else of it.
import { patch } from "/page/patch.js";

// Refused is an answer that is no success: its faults, one entry each.
export class Refused extends Error {
  constructor(problem) {
    super(problem.detail || problem.title || "the service did not answer");
    this.title = problem.title || "The service did not answer";
    this.status = problem.status || 0;
    this.errors = problem.errors || [];
  }
}

const patience = 4; // times a busy service is asked again
const later = (s) => new Promise((done) => setTimeout(done, 1000 * s));

async function answer(path, init, turn = 1) {
  let response;
  try {
    response = await fetch(path, init);
  } catch (err) {
    if (err.name === "AbortError") throw err;
    throw new Refused({ title: "The service cannot be reached", detail: "is tanrad serve still running?" });
  }
  if (response.ok) return response;
  if ((response.status === 429 || response.status === 503) && turn < patience) {
    await later(Math.min(10, Number(response.headers.get("Retry-After")) || 1));
    return answer(path, init, turn + 1);
  }
  let problem = { title: `The service answered ${response.status}` };
  try {
    problem = await response.json();
  } catch { /* no problem document: the status is all there is */ }
  throw new Refused({ status: response.status, ...problem });
}

const json = "application/json", part = "application/vnd.tanrad.part+json";

const post = (path, body, accept) =>
  answer(path, { method: "POST", body, headers: { "Content-Type": json, Accept: accept } });

export const get = async (path) => (await answer(path)).json();

// The board that the service answered last, and its name there: the next question sends
// only what has changed since.
let last = { board: null, name: "" };

// about asks about a board: by what has changed where the service still has the last one,
// whole where it has not.
async function about(board, query, accept) {
  let response;
  if (last.name) {
    try {
      response = await answer(`/v1/board/${last.name}?${query}`, { method: "PATCH", body: JSON.stringify(patch(last.board, board)),
        headers: { "Content-Type": "application/merge-patch+json", Accept: accept } });
    } catch (err) {
      if (err.status !== 404) throw err;
      last.name = ""; // the service keeps boards for a while only
    }
  }
  response = response || (await post(`/v1/board?${query}`, JSON.stringify(board), accept));
  last = { board: structuredClone(board), name: response.headers.get("Tanrad-Board") || "" };
  return response.json();
}

const settled = "exposures=none&cracks=false&chance=false";

// read is the answer to a text that may be no board.
export const read = async (text, air) => (await post(`/v1/board?${settled}&air=${encodeURIComponent(air)}`, text, json)).json();

// quick is the answer for every edit: settled states only.
export const quick = (board, air) => about(board, `${settled}&air=${encodeURIComponent(air)}`, json);

// moving is the answer while a finger turns or paints: the stress of every joint in the
// order of the report, most often a bound, at a tenth of the time.
export const moving = async (board) => (await about(board, `${settled}&by=stress&fields=joints.stress`, part)).joints.map((j) => j.stress);

export const full = (board) => about(board, "", json);

// explain derives the numbers that a word means, over the year or settled in one air.
export const explain = async (board, word, air) =>
  (await about(board, `fields=derivation&cracks=false&chance=false&explain=${encodeURIComponent(word)}${air ? `&exposures=none&air=${encodeURIComponent(air)}` : ""}`, part)).derivation;

export const shape = async (text, state, airs) => {
  const q = new URLSearchParams({ state, exposures: "none" });
  for (const a of airs) q.append("air", a);
  return (await post(`/v1/board/shape?${q}`, text, json)).json();
};

// shapeOf is the shape at an hour of an exposure.
export const shapeOf = async (text, exposure, hour) =>
  (await post(`/v1/board/shape?${new URLSearchParams({ state: exposure, exposures: exposure, hour })}`, text, json)).json();

// advice works changes out, quickly the two that help most of a few. It is handed in as
// a job, which no limit of time cuts short; told hears how far it is. A service that
// takes no jobs is asked at once.
export async function advice(board, quick, told) {
  let job;
  try {
    job = await (await post("/v1/jobs", JSON.stringify({ kind: "advice", board, parameters: { quick } }), json)).json();
  } catch (err) {
    if (err.status !== 501) throw err;
    return (await post(`/v1/board/advice?quick=${quick}`, JSON.stringify(board), json)).json();
  }
  const result = await resultOf(job.id, told);
  const answer = result.large ? await get(`/v1/jobs/${job.id}/results/${result.unit}`) : result.answer;
  if (result.status !== 200) throw new Refused(answer);
  return answer;
}

// resultOf follows a job of one part to its result.
function resultOf(id, told) {
  const events = new EventSource(`/v1/jobs/${id}/events`);
  return new Promise((done, broken) => {
    events.addEventListener("progress", (e) => { const p = JSON.parse(e.data); told(p.done, p.total); });
    events.addEventListener("result", (e) => done(JSON.parse(e.data)));
    events.addEventListener("end", () => broken(new Refused({ detail: "the job ended without an answer" })));
    events.onerror = () => broken(new Refused({ title: "The service cannot be reached", detail: "is tanrad serve still running?" }));
  }).finally(() => events.close());
}

export const picture = async (text, view) => (await post(`/v1/board/picture?view=${view}`, text, "image/svg+xml")).text();

export const png = async (text) => (await post("/v1/board/picture", text, "image/png")).blob();

// plan is the plan of the work as pages to print, or its care card alone.
export const plan = async (text, part) => (await post(`/v1/board/plan?part=${part}`, text, "text/html")).text();

// outline makes a board file of an SVG drawing.
export const outline = async (drawing, units, thickness, stock) => {
  const q = new URLSearchParams({ units, thickness });
  for (const s of stock) q.append("stock", s);
  return (await answer(`/v1/board/outline?${q}`, { method: "POST", body: drawing, headers: { "Content-Type": "image/svg+xml", Accept: json } })).json();
};
