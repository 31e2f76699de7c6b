// Sends a board with the types that openapi-typescript made of the contract,
// compiled strictly, and looks at the answer.
import createClient from "openapi-fetch";
import type { components, paths } from "./api.js";

const base = process.argv[2]!;
const api = createClient<paths>({ baseUrl: base });

// As README shows it: glue and finish may be left out.
const board: components["schemas"]["Board"] = {
  tanrad: 1, units: "mm", thickness: 38,
  stock: { M: { species: "sugar-maple", ring_angle: 0, moisture: 7.5 }, W: { species: "black-walnut", ring_angle: 90, grain: "up" } },
  field: { grid: { block: [40, 40], rows: ["MW", ["W", "M"]] } },
};

const { data, error } = await api.POST("/v1/board", {
  params: { query: { exposures: ["none"], cracks: false, chance: false } }, body: board,
});
// The route answers a picture as well, or parts of a report: this is the whole one.
if (typeof data !== "object" || !("verdict" in data)) throw new Error(JSON.stringify(error));
const report = data as components["schemas"]["Report"];
const [x, y]: [number, number] = report.joints[0]!.from;
if (report.joints.length !== 4 || !(report.utilisation > 0) || !Number.isFinite(x + y)) throw new Error("an odd answer");

const wrong = await api.GET("/v1/emc", { params: { query: { temperature: 500 } } });
if (!wrong.error?.errors?.[0]?.detail) throw new Error("a fault that has no entry");
console.log("TypeScript:", report.verdict, report.utilisation);
