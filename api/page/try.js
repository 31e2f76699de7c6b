"use strict";
// Sends the board to /v1/board twice, once for the report and once for the
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

function clear() {
  for (const id of ["verdict", "faults", "picture", "details"]) $(id).hidden = true;
  $("headline").textContent = "";
  for (const id of ["faults", "facts", "joints", "cautions"]) $(id).replaceChildren();
  if (picture) URL.revokeObjectURL(picture);
  picture = null;
}

function showFaults(problem) {
  $("verdict").textContent = problem.title || "That did not work";
  $("verdict").className = "verdict wrong";
  $("verdict").hidden = false;
  $("headline").textContent = problem.detail || "";
  for (const f of problem.errors || []) {
    let text = f.detail;
    const at = f.pointer || f.parameter;
    if (at && at !== "#") text += " at " + at;
    if (f.found) text += ", found " + f.found;
    if (f.allowed) text += "; allowed: " + f.allowed;
    if (f.nearest && f.nearest.length) text += "; nearest: " + f.nearest.join(", ");
    if (f.fix) text += "; " + f.fix;
    $("faults").append(element("li", text));
  }
  $("faults").hidden = !(problem.errors && problem.errors.length);
}

function fact(name, value) {
  if (value) $("facts").append(element("dt", name), element("dd", value));
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
  const most = 20;
  const worst = [...r.joints].sort((a, b) => b.utilisation - a.utilisation);
  $("caption").textContent = r.joints.length + " joints" + (worst.length > most ? ", the worst " + most : ", worst first");
  for (const j of worst.slice(0, most)) {
    const row = element("tr");
    const head = element("th", j.id);
    head.scope = "row";
    row.append(head, element("td", j.verdict, j.verdict), element("td", number(100 * j.utilisation, 0) + " %", "number"),
      element("td", j.how), element("td", number(j.normal, 2), "number"), element("td", number(Math.abs(j.shear), 2), "number"), element("td", j.state));
    $("joints").append(row);
  }
  for (const c of r.cautions || []) $("cautions").append(element("li", c.text + " (" + c.source + ")"));
  $("details").hidden = false;
}

async function ask(accept) {
  const home = $("home").value;
  const response = await fetch("/v1/board" + (home ? "?home=" + encodeURIComponent(home) : ""), {
    method: "POST", headers: { "Content-Type": "application/json", Accept: accept }, body: $("board").value,
  });
  return response;
}

async function check(event) {
  if (event) event.preventDefault();
  $("check").disabled = true;
  $("answer").setAttribute("aria-busy", "true");
  try {
    const response = await ask("application/json");
    clear();
    if (!response.ok) {
      showFaults(await response.json());
      return;
    }
    const report = await response.json();
    showReport(report);
    const drawn = await ask("image/svg+xml");
    if (drawn.ok) {
      picture = URL.createObjectURL(await drawn.blob());
      $("picture").src = picture;
      $("picture").alt = "The board from above: " + report.headline;
      $("picture").hidden = false;
    }
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

$("form").addEventListener("submit", check);
$("demo").addEventListener("click", demo);
$("board").addEventListener("keydown", (e) => {
  if (e.key === "Enter" && (e.ctrlKey || e.metaKey)) check(e);
});
// Opened as /try#check the page checks the example at once.
demo().then(() => { if (location.hash === "#check") check(); });
homes();
