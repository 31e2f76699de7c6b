// The bench: a board is drawn, moved, mended. It asks the public API only.
//
// table.js holds what lies on it, and news of changes go round from there: edits.js
// changes the board, asking.js asks the service, showing.js draws the answer; hand.js,
// controls.js, moments.js, mending.js and files.js are the ways to touch it.
import { fill } from "/page/controls.js";
import { refused } from "/page/faults.js";
import { first } from "/page/files.js";
import { choose } from "/page/hand.js";
import "/page/mending.js";
import "/page/moments.js";
import "/page/numbers.js";
import * as service from "/page/service.js";
import "/page/showing.js";
import { table } from "/page/table.js";

async function start() {
  choose(matchMedia("(pointer: coarse)").matches ? "look" : "paint"); // a finger scrolls the page until a tool is chosen
  const [list, homes, kinds] = await Promise.all([service.get("/v1/species?limit=500"), service.get("/v1/climates"), service.get("/v1/exposures")]);
  table.woods = new Map(list.species.map((w) => [w.id, w]));
  table.events = new Map(kinds.exposures.map((e) => [e.key, e]));
  fill([...list.species].sort((a, b) => a.common_name.localeCompare(b.common_name)), homes.climates);
  await first();
}

start().catch((err) => refused(err, ""));
