// Calls of the public API, and nothing else of it.

// Refused is an answer that is no success: its faults, one entry each.
export class Refused extends Error {
  constructor(problem) {
    super(problem.detail || problem.title || "the service did not answer");
    this.title = problem.title || "The service did not answer";
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
  throw new Refused(problem);
}

const post = (path, body, accept, signal) =>
  answer(path, { method: "POST", body, signal, headers: { "Content-Type": "application/json", Accept: accept } });

export const get = async (path) => (await answer(path)).json();

// quick is the answer for every edit: settled states only.
export const quick = async (text, air, signal) =>
  (await post(`/v1/board?exposures=none&cracks=false&chance=false&air=${encodeURIComponent(air)}`, text, "application/json", signal)).json();

// moving is the answer while a finger turns or paints: the stress of the joints, a
// bound at a tenth of the time.
export const moving = async (text, air, signal) =>
  (await post(`/v1/board?exposures=none&cracks=false&chance=false&by=stress&fields=joints.id,joints.stress&air=${encodeURIComponent(air)}`,
    text, "application/vnd.tanrad.part+json", signal)).json();

// explain derives the numbers of a joint, over its year or settled in one air.
export const explain = async (text, joint, air, signal) =>
  (await post(`/v1/board?fields=derivation&cracks=false&chance=false&explain=${encodeURIComponent(joint)}${air ? `&exposures=none&air=${encodeURIComponent(air)}` : ""}`,
    text, "application/vnd.tanrad.part+json", signal)).json();

export const full = async (text, signal) => (await post("/v1/board", text, "application/json", signal)).json();

export const shape = async (text, state, airs, signal) => {
  const q = new URLSearchParams({ state, exposures: "none" });
  for (const a of airs) q.append("air", a);
  return (await post(`/v1/board/shape?${q}`, text, "application/json", signal)).json();
};

// shapeOf is the shape at an hour of an exposure.
export const shapeOf = async (text, exposure, hour, signal) =>
  (await post(`/v1/board/shape?${new URLSearchParams({ state: exposure, exposures: exposure, hour })}`, text, "application/json", signal)).json();

export const advice = async (text, signal) => (await post("/v1/board/advice", text, "application/json", signal)).json();

export const picture = async (text, view) => (await post(`/v1/board/picture?view=${view}`, text, "image/svg+xml")).text();

export const png = async (text) => (await post("/v1/board/picture", text, "image/png")).blob();

// plan is the plan of the work as pages to print, or its care card alone.
export const plan = async (text, part) => (await post(`/v1/board/plan?part=${part}`, text, "text/html")).text();

// outline makes a board file of an SVG drawing.
export const outline = async (drawing, units, thickness, stock) => {
  const q = new URLSearchParams({ units, thickness });
  for (const s of stock) q.append("stock", s);
  return (await answer(`/v1/board/outline?${q}`, { method: "POST", body: drawing, headers: { "Content-Type": "image/svg+xml", Accept: "application/json" } })).json();
};
