// Room and day: exact answers at rest, drawn between known ones while a slider moves; and
// the year played.
import { ask, later } from "/page/asking.js";
import { Motion } from "/page/motion.js";
import * as service from "/page/service.js";
import { outputs } from "/page/showing.js";
import { $, byRoom, day, on, room, roomTemperature, table, tell, text } from "/page/table.js";

const yearAtHome = "year-at-home"; // the day slider's exposure
const rooms = new Motion([15, 30, 45, 60, 75, 90], (h) => service.shape(text(), "room", [`room=${h}@${roomTemperature}`]));
const days = new Motion([0, 10, 30, 60, 105, 150, 195, 240, 285, 330, 365], (d) => service.shapeOf(text(), yearAtHome, 24 * d));

on("edit", () => {
  for (const m of [rooms, days]) m.reset();
  $("year").hidden = true;
});

let frame = 0;
// follow draws a slider's shape in the next frame, where it is known.
function follow(motion, at) {
  if (!frame) frame = requestAnimationFrame(() => {
    frame = 0;
    const s = motion.at(at());
    if (s) {
      table.shape = s;
      tell("shape");
    }
  });
}

for (const kind of ["pointerdown", "focus"]) {
  $("humidity").addEventListener(kind, () => rooms.learn(room()));
  $("day").addEventListener(kind, () => days.learn(day()));
}
$("humidity").addEventListener("input", () => {
  $("when-room").checked = true;
  table.onDay = false;
  outputs();
  follow(rooms, room);
  later(120);
});
$("day").addEventListener("input", () => {
  $("when-year").checked = true;
  table.onDay = true;
  tell("look");
  follow(days, day);
});
// The day where the slider comes to rest is asked for itself.
$("day").addEventListener("change", async () => {
  const of = table.version, at = day();
  try {
    const s = await service.shapeOf(text(), yearAtHome, 24 * at);
    if (of !== table.version || at !== day() || !table.onDay) return;
    table.shape = s;
    tell("shape");
    $("board").dataset.moment = `day=${at}`;
  } catch (err) {
    tell("refused", { err, text: text() });
  }
});

for (const id of ["when-year", "when-room"]) $(id).onchange = () => {
  if (byRoom() && table.onDay) { // the room's own shape again
    table.onDay = false;
    ask();
  }
  tell("look");
};
$("times").addEventListener("input", () => {
  table.times = Number($("times").value);
  tell("shape");
});
$("show-loose").onchange = () => {
  $("loose").hidden = !$("show-loose").checked;
  tell("shape");
};

$("play").onclick = async () => {
  const of = table.version;
  $("play-words").textContent = "Going through the year…";
  try {
    const drawing = await service.picture(text(), "year");
    if (of !== table.version) return;
    const before = $("year").src;
    $("year").src = URL.createObjectURL(new Blob([drawing], { type: "image/svg+xml" }));
    if (before) URL.revokeObjectURL(before);
    $("year").alt = "The board moving through a year at home, and six moments of it";
    $("year").hidden = false;
    $("play-words").textContent = "";
  } catch (err) {
    $("play-words").textContent = err.message;
  }
};
