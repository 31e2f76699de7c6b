// What is asked of the service, and when: an estimate at every move of a finger, settled
// air when it rests, the whole year when nothing has been touched for a moment.
import * as service from "/page/service.js";
import { $, air, on, table, tell, text } from "/page/table.js";

const pause = 500; // ms without an edit before the whole year is asked about
let asked = 0, answered = 0, working = false, began = 0, timer = 0;

export function ask() {
  asked++;
  began = began || performance.now();
  clearTimeout(timer);
  if (!working) work();
}

// later asks when nothing else was asked for some time, ms.
export function later(ms) {
  clearTimeout(timer);
  timer = setTimeout(ask, ms);
}

on("edit", ask);
on("rest", ask);

// work answers the latest edit; edits made meanwhile wait for one more round.
async function work() {
  working = true;
  while (answered !== asked) {
    const now = asked, of = table.version, start = began, board = table.file, at = air();
    began = 0;
    try {
      if (table.moving && table.report) await estimate(board, of, start);
      else if (!(await settle(board, of, start, at, now))) {
        answered = now; // an edit came meanwhile: its shape is the one to draw
        continue;
      }
    } catch (err) {
      tell("refused", { err, text: JSON.stringify(board) });
    }
    answered = now;
  }
  working = false;
  timer = setTimeout(wholeYear, pause);
}

async function estimate(board, of, start) {
  const r = await service.moving(board);
  if (of !== table.version) return;
  table.report = followed(table.year || table.report, table.report, r);
  table.year = null;
  table.estimated = true;
  tell("estimate");
  repainted(start);
}

// settle judges the board in settled air and draws its shape; false where an edit came
// meanwhile.
async function settle(board, of, start, at, now) {
  const r = await service.quick(board, at);
  if (of === table.version) {
    table.report = r;
    table.estimated = false;
    table.year = null;
    tell("answer");
    repainted(start);
  }
  if (now !== asked) return false;
  const s = await service.shape(JSON.stringify(board), "room", [at]);
  if (of === table.version) {
    table.shape = s;
    tell("shape");
    $("board").dataset.moment = at;
  }
  return true;
}

const repainted = (start) => document.dispatchEvent(new CustomEvent("verdict", { detail: performance.now() - start }));

async function wholeYear() {
  const of = table.version;
  try {
    const r = await service.full(table.file);
    if (of !== table.version) return;
    table.year = r;
    tell("year");
  } catch (err) {
    if (of === table.version) tell("refused", { err, text: text() });
  }
}

// followed estimates a report while a finger moves: every joint keeps the share that its
// crack had, over the year where that is known, of its settled stress when the board was
// last judged. The stresses come in the order of the joints, which a gesture leaves.
const wordOf = (u, from) => ["fails", "doubtful", "tight"].find((w) => u >= from[w]) || "holds";
function followed(old, settled, stresses) {
  const before = new Map(settled.joints.map((j) => [j.id, j.stress]));
  const joints = old.joints.map((j, i) => {
    const share = j.share ?? (before.get(j.id) > 0 ? j.utilisation / before.get(j.id) : 1), u = share * stresses[i];
    return { ...j, share, utilisation: u, verdict: wordOf(u, old.words_from) };
  });
  const worst = joints.reduce((a, b) => (b.utilisation > a.utilisation ? b : a)), wood = old.woodOnly ?? (old.worst && old.worst.piece ? old.utilisation : 0);
  const u = Math.max(worst.utilisation, wood);
  return { ...old, joints, woodOnly: wood, utilisation: u, verdict: wordOf(u, old.words_from), causes: [], modes: [], worst: { ...old.worst, joint: worst.id },
    headline: "An estimate while it moves; it is worked out when you let go." };
}
