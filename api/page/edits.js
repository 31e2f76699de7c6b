// Edits of the board: done, taken back, done again.
import * as files from "/page/boardfile.js";
import { table, tell } from "/page/table.js";

const done = [], undone = []; // texts of boards
const most = 200; // that are kept

export const canUndo = () => done.length > 0;
export const canRedo = () => undone.length > 0;

// remember keeps the board as it stands, to come back to.
export function remember() {
  if (!table.file) return;
  done.push(JSON.stringify(table.file));
  if (done.length > most) done.shift();
  undone.length = 0;
}

// change puts an edit through: at once into the file, then to the service. A gesture,
// such as one pull of a slider, is taken back as a whole.
export function change(edit, gesture = {}) {
  const before = JSON.stringify(table.file), next = files.clone(table.file);
  if (edit(next) === false) return;
  if (JSON.stringify(next) === before) return;
  if (!gesture.kept) {
    remember();
    gesture.kept = true;
  }
  table.moving = Boolean(gesture.keepsOutlines);
  set(next);
}

// rest ends a gesture: what was asked quickly is asked in full.
export function rest() {
  if (!table.moving) return;
  table.moving = false;
  tell("rest");
}

export function set(next) {
  table.file = next;
  table.onDay = false;
  table.version++;
  if (!(table.key in next.stock)) table.key = Object.keys(next.stock)[0];
  tell("edit");
}

function back(from, to) {
  if (from.length === 0) return;
  to.push(JSON.stringify(table.file));
  set(JSON.parse(from.pop()));
}
export const undo = () => back(done, undone);
export const redo = () => back(undone, done);
