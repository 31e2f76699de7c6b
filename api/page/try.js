"use strict";
// Sends the board to /v1/board for the report and to /v1/board/picture for the
// picture, and shows the verdict first. All words go in as text, never as markup.

const $ = (id) => document.getElementById(id);
let picture = null; // address of the picture shown, to be given back

function element(tag, text, cls) {
  const e = document.createElement(tag);
  if (text !== undefined) e.textContent = text;
  if (cls) e.className = cls;
  return e;
}

function number(v, digits) {
  return Number(v).toFixed(digits);
}

const lists = ["faults", "facts", "causes", "events", "joints", "weak", "assumed", "cautions", "exposure"];

function clear() {
  for (const id of ["verdict", "faults", "views", "details"]) $(id).hidden = true;
  for (const id of ["headline", "chance", "range"]) $(id).textContent = "";
  for (const id of lists) $(id).replaceChildren();
  noPicture("");
}

function noPicture(why) {
  $("picture").hidden = true;
  $("nopicture").textContent = why;
  $("nopicture").hidden = !why;
  if (picture) URL.revokeObjectURL(picture);
  picture = null;
}

function faultText(f) {
  let text = f.detail;
  const at = f.pointer || f.parameter;
  if (at && at !== "#") text += " at " + at;
  if (f.found) text += ", found " + f.found;
  if (f.allowed) text += "; allowed: " + f.allowed;
  if (f.nearest && f.nearest.length) text += "; nearest: " + f.nearest.join(", ");
  if (f.fix) text += "; " + f.fix;
  return text;
}

function showFaults(problem) {
  $("verdict").textContent = problem.title || "That did not work";
  $("verdict").className = "verdict wrong";
  $("verdict").hidden = false;
  $("headline").textContent = problem.detail || "";
  for (const f of problem.errors || []) $("faults").append(element("li", faultText(f)));
  $("faults").hidden = !(problem.errors && problem.errors.length);
}

function fact(name, value) {
  if (value) $("facts").append(element("dt", name), element("dd", value));
}

function percent(v) {
  return number(100 * v, 0) + " %";
}

// A bar is a picture of the number beside it; the number is what is read out.
function showCauses(causes) {
  for (const c of causes || []) {
    if (c.kind !== "mechanism" || Math.abs(c.share) < 0.05) continue;
    const item = element("li");
    const bar = element("span", "", c.share < 0 ? "bar eases" : "bar");
    bar.style.setProperty("--share", Math.min(1, Math.abs(c.share)));
    bar.setAttribute("aria-hidden", "true");
    item.append(element("span", percent(c.share), "number"), bar, element("span", c.name + (c.share < 0 ? " (eases it)" : "")));
    $("causes").append(item);
  }
  if (!$("causes").children.length) $("causes").append(element("li", "Nothing pulls there that is worth telling."));
}

function showEvents(r) {
  const rows = [...r.states.map((s) => [s, ""]), ...(r.exposures || []).map((e) => [e, number(e.cup, 2)])];
  for (const [e, cup] of rows) {
    const row = element("tr");
    const head = element("th", e.name.replaceAll("-", " "));
    head.scope = "row";
    row.title = e.text;
    row.append(head, element("td", e.verdict, e.verdict), element("td", percent(e.utilisation), "number"), element("td", percent(e.elastic_utilisation), "number"), element("td", cup, "number"));
    $("events").append(row);
  }
  for (const e of r.exposures || []) {
    const option = element("option", e.name.replaceAll("-", " "));
    option.value = e.name;
    $("exposure").append(option);
  }
  const worst = (r.exposures || []).reduce((a, e) => (a && a.utilisation >= e.utilisation ? a : e), null);
  if (worst) $("exposure").value = worst.name;
}

function showHonesty(r) {
  const h = r.honesty;
  if (r.chance) $("chance").textContent = r.chance.text;
  if (h.utilisation_high > 0) {
    $("range").textContent = "With the weak inputs off by what is likely, the worst place lies between " + percent(h.utilisation_low) + " and " + percent(h.utilisation_high) + " of what it bears.";
  }
  for (const e of h.estimated.slice(0, 5)) $("weak").append(element("li", e.status + ": " + e.what + " (± " + percent(e.effect) + " of the answer)"));
  for (const a of h.assumptions) $("assumed").append(element("li", a));
  for (const a of h.not_modelled) $("assumed").append(element("li", "Not modelled: " + a));
}

function showReport(r) {
  $("verdict").textContent = r.verdict;
  $("verdict").className = "verdict " + r.verdict;
  $("verdict").hidden = false;
  $("headline").textContent = r.headline;
  if (r.worst) {
    fact("Worst place", r.worst.joint || r.worst.piece);
    fact("When", r.worst.when);
    fact("How", r.worst.how + (r.worst.weakest ? "; what gives: " + r.worst.weakest : ""));
    fact("Why", r.worst.why);
  }
  fact("Size", number(r.width, 1) + " × " + number(r.height, 1) + " × " + number(r.thickness, 1) + " mm; width " +
    number(r.size.width_min, 1) + " to " + number(r.size.width_max, 1) + ", height " +
    number(r.size.height_min, 1) + " to " + number(r.size.height_max, 1) + " mm");
  if (r.checking) fact("In the wood itself", r.checking.verdict + ": " + r.checking.text);
  for (const c of (r.cracks || []).slice(0, 1)) {
    fact("Would a crack run?", (c.starts ? "It starts" : "It does not start") + (c.runs ? " and runs: " : " and would not run: ") +
      number(c.release, 0) + " J/m² set free, " + number(c.energy, 0) + " needed");
  }
  showCauses(r.causes);
  showEvents(r);
  showHonesty(r);
  const most = 20;
  const worst = [...r.joints].sort((a, b) => b.utilisation - a.utilisation);
  $("caption").textContent = r.joints.length + " joints" + (worst.length > most ? ", the worst " + most : ", worst first");
  for (const j of worst.slice(0, most)) {
    const row = element("tr");
    const head = element("th", j.id);
    head.scope = "row";
    row.append(head, element("td", j.verdict, j.verdict), element("td", percent(j.utilisation), "number"),
      element("td", j.how), element("td", number(j.normal, 2), "number"), element("td", number(Math.abs(j.shear), 2), "number"), element("td", j.state));
    $("joints").append(row);
  }
  for (const c of [...r.glue_up, ...r.cautions]) $("cautions").append(element("li", c.text + " (" + c.source + ")"));
  $("details").hidden = false;
}

// ask posts the board; more are parameters beyond those of the form.
function ask(path, accept, more) {
  const q = new URLSearchParams(more);
  if ($("home").value) q.set("home", $("home").value);
  for (const box of document.querySelectorAll("#exposures input:checked")) q.append("exposures", box.value);
  const query = q.toString();
  return fetch(path + (query ? "?" + query : ""), {
    method: "POST", headers: { "Content-Type": "application/json", Accept: accept }, body: $("board").value,
  });
}

let drawing = 0; // counts pictures asked for, so that a late one does not overtake

async function draw() {
  const view = $("view").value;
  const timed = ["history", "profiles", "surface"].includes(view);
  for (const e of [$("exposure"), document.querySelector("label[for=exposure]")]) e.hidden = !timed;
  const more = { view };
  if (timed && $("exposure").value) more.exposure = $("exposure").value;
  const mine = ++drawing;
  const drawn = await ask("/v1/board/picture", "image/svg+xml, application/problem+json;q=0.1", more);
  if (mine !== drawing) return;
  if (!drawn.ok) {
    const problem = await drawn.json();
    noPicture((problem.errors || []).map((f) => f.detail).join("; ") || problem.title);
    return;
  }
  const fresh = URL.createObjectURL(await drawn.blob());
  noPicture("");
  picture = fresh;
  $("picture").src = picture;
  $("picture").alt = "Picture: " + $("view").selectedOptions[0].textContent + ". " + $("headline").textContent;
  $("picture").hidden = false;
}

async function check(event) {
  if (event) event.preventDefault();
  $("check").disabled = true;
  $("answer").setAttribute("aria-busy", "true");
  try {
    const response = await ask("/v1/board", "application/json");
    clear();
    if (!response.ok) {
      showFaults(await response.json());
      return;
    }
    showReport(await response.json());
    $("views").hidden = false;
    await draw();
  } catch (err) {
    clear();
    showFaults({ title: "The service did not answer", detail: String(err) });
  } finally {
    $("check").disabled = false;
    $("answer").setAttribute("aria-busy", "false");
    $("answer").focus();
  }
}

async function demo() {
  const response = await fetch("/page/demo.json");
  $("board").value = await response.text();
}

async function homes() {
  const response = await fetch("/v1/climates");
  if (!response.ok) return;
  for (const c of (await response.json()).climates) {
    const option = element("option", c.name);
    option.value = c.key;
    $("home").append(option);
  }
}

async function events() {
  const response = await fetch("/v1/exposures");
  if (!response.ok) return;
  for (const e of (await response.json()).exposures) {
    const label = element("label", "", "choice");
    const box = element("input");
    box.type = "checkbox";
    box.value = e.key;
    label.append(box, element("span", e.name + ". " + e.text));
    $("exposures").append(label);
  }
}

$("form").addEventListener("submit", check);
for (const id of ["view", "exposure"]) $(id).addEventListener("change", () => draw().catch((err) => noPicture(String(err))));
$("demo").addEventListener("click", demo);
$("board").addEventListener("keydown", (e) => {
  if (e.key === "Enter" && (e.ctrlKey || e.metaKey)) check(e);
});
// Opened as /try#check the page checks the example at once.
demo().then(() => { if (location.hash === "#check") check(); });
homes();
events();
