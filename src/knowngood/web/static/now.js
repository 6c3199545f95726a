// Now without a server: the run document on the page and what waits on this device give the next step. Its card comes
// from the page's own templates, so that it looks and works as the server would have drawn it.

import { enhance } from "./fields.js";
import { entries, newId, valueOf } from "./outbox.js";
import { showRefused, unlock } from "./refused.js";
import { added, against, beforeLeaving, progress, saidTogether, stand } from "./replay.js";

let run = null;
let ahead = false; // whether the page shows more than its run document knows
let acknowledged = []; // since the page was made: stored, but not in its run document

const at = (id) => run.steps.find((step) => step.id === id);
const template = (id) => document.getElementById(id)?.content.cloneNode(true);

async function state() {
  const kept = (await entries()).filter((entry) => !entry.refused && valueOf(entry, "stream") === `job/${run.job}`);
  // What was stored and whose answer was lost waits here and stands in the log already.
  const fresh = [...acknowledged, ...kept].filter((entry) => !run.log.some(({ id }) => id === valueOf(entry, "id")));
  const bySeq = fresh.sort((one, other) => one.seq - other.seq);
  const log = bySeq.reduce((known, entry) => added(run, known, Object.fromEntries(entry.fields)), run.log);
  const done = progress(log);
  const stands = stand(run, done);
  return { log, ...stands, done: { ...done, done: stands.done }, ahead: bySeq.length > 0 };
}

// --- drawing -------------------------------------------------------------------------------------------------------

// Waits and windows whose clocks go on.
function clocks({ standing, facts, done }) {
  const over = (id) => ["done", "not needed"].includes(standing[id]);
  const ended = new Set(done.done.flatMap((id) => at(id)?.ends ?? []));
  const off = ({ running }) => running.some((fact) => ended.has(fact) && !facts.has(fact));
  const windows = Object.entries(run.windows).filter(([, one]) => !(one.steps.length && one.steps.every(over)) && !off(one));
  return [...run.steps.filter(({ id, wait }) => wait && !over(id)).map(({ id }) => id), ...windows.map(([circuit]) => circuit)];
}

function drawLine(known) {
  const { now, standing } = known;
  for (const tick of document.querySelectorAll(".run [data-step]")) {
    const how = standing[tick.dataset.step];
    tick.classList.toggle("d", how === "done");
    tick.classList.toggle("x", how === "not needed");
    tick.classList.toggle("n", tick.dataset.step === now);
  }
  document.getElementById("clocks").dataset.open = clocks(known).join(" ");
  const done = Object.values(standing).filter((how) => how === "done").length;
  const where = now ? `Step ${at(now).number} of` : "";
  document.getElementById("run-words").textContent = `${where} ${run.steps.length} steps, ${done} done.`;
}

function drawSteps({ standing, now }) {
  for (const step of run.steps) {
    const row = document.getElementById(`step-${step.id}`);
    if (!row) return;
    row.className = `is-${standing[step.id].replaceAll(" ", "-")}`;
    row.querySelector("[data-standing]").textContent = step.id === now ? "now" : standing[step.id];
  }
}

// Puts a form and its buttons where the last ones stood.
function place(part) {
  const [form, bar] = [part.querySelector("form"), part.querySelector(".act")];
  form.elements.id.value = newId();
  const card = document.getElementById("step");
  card.replaceChildren(form);
  document.querySelector(".columns > .act")?.remove();
  if (bar) document.querySelector(".columns").append(bar);
  enhance(card);
  document.dispatchEvent(new Event("drawn"));
  form.querySelector("h1").scrollIntoView({ block: "nearest" });
}

// The part of a step that is next: a reading that nobody took, else Done.
function drawStep(step, done) {
  const next = step.read.find((limit) => !done.read.has(limit)) ?? "";
  const part = template(`step-parts-${step.id}`)?.querySelector(`[data-part="${next}"]`);
  if (!part) return drawWords("This step is drawn once the computer answers", [`${step.number}. ${step.do}`]);
  const round = done.done.filter((id) => id === step.id).length + 1;
  const { round: counted, form: key } = part.querySelector("form").elements;
  if (counted) [counted.value, key.value] = [round, key.value.replace(/\d+$/, round)];
  part.querySelectorAll("[data-round]").forEach((place) => { place.textContent = round; });
  const waits = step.read.some((limit) => done.read.has(limit) && !done.found[limit]);
  part.querySelectorAll("[data-judged-later]").forEach((words) => { words.hidden = !waits; });
  place(part);
}

function drawWords(heading, rows) {
  const part = template("nothing-part");
  part.querySelector("h1").textContent = heading;
  part.querySelector("ul").replaceChildren(...rows.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  document.getElementById("step").replaceChildren(part);
  document.querySelector(".columns > .act")?.remove();
}

// Nothing can be next: say whether it is safe to stop here, and what to do first where not.
function drawRest({ standing, facts }) {
  if (Object.values(standing).every((how) => ["done", "not needed"].includes(how))) {
    return drawWords("All steps done", ["What is proved stands in the book; close the job there once the computer answers."]);
  }
  const first = beforeLeaving(run, facts);
  const open = Object.entries(run.open_words).filter(([fact]) => facts.has(fact)).map(([, words]) => `Standing open: ${words}`);
  const held = run.steps.filter((step) => ["put off", "waits for a finding"].includes(standing[step.id]));
  const heading = first.length ? "Nothing can be next: make it safe, then stop" : "Nothing can be next: it is safe to stop here";
  return drawWords(heading, [...first, ...open, ...held.map((step) => `${step.do}: ${standing[step.id]}`)]);
}

// What stands against the step because the vehicle stands otherwise: the page has drawn an article for each tap.
function drawAgainst({ log, facts, now }) {
  const rows = now ? against(run, log, facts, now) : [];
  for (const article of document.querySelectorAll("#against [data-group]")) {
    const mine = rows.filter(({ group }) => group === article.dataset.group);
    article.hidden = !mine.length;
    const severity = mine.some(({ stops }) => stops) ? "stop" : "caution";
    article.className = `problem is-${severity}`;
    article.querySelector("li").className = `is-${severity}`;
    article.querySelector("li b").textContent = severity[0].toUpperCase() + severity.slice(1);
    article.querySelector("li p").textContent = saidTogether(mine);
  }
}

// A note is about the step that stands above it.
function aboutStep(id) {
  const form = document.querySelector("form.event[data-kind=noted]");
  if (!form) return;
  form.elements.step.value = id;
  form.elements.form.value = `noted job/${run.job} ${id}`;
}

function drawUndo({ log }) {
  const last = log.findLast((one) => ["step_done", "step_put_off"].includes(one.kind));
  const place = document.getElementById("undo");
  place.hidden = !last;
  if (!last) return;
  const form = place.querySelector("form");
  form.elements.id.value = newId();
  form.elements.event.value = last.id;
  form.elements.form.value = `withdrawn job/${run.job} ${last.id}`;
  place.querySelector("button").textContent = `Undo “${at(last.step)?.do ?? last.step}”`;
}

async function draw() {
  const now = await state();
  if (!now.ahead && !ahead) return;
  ahead = now.ahead;
  drawLine(now);
  drawSteps(now);
  if (!document.getElementById("step")) return;
  drawUndo(now);
  aboutStep(now.now ?? "");
  drawAgainst(now);
  const step = now.now && at(now.now);
  if (step) drawStep(step, now.done);
  else drawRest(now);
}

// --- what is pressed -----------------------------------------------------------------------------------------------

async function cant() {
  const { now } = await state();
  const step = at(now);
  const part = template("cant-part").firstElementChild;
  for (const input of part.querySelectorAll("input[type=hidden]")) input.value = input.value.replace("STEP", step.id);
  part.querySelector("h1").textContent = `What stops “${step.do}”?`;
  place(part);
  part.querySelector("input:not([type=hidden])")?.focus();
}

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button[name=instead]");
  if (!button || !run) return;
  event.preventDefault();
  if (button.value === "cant") return cant();
  const now = await state();
  drawStep(at(now.now), now.done);
});

// An entry of this job that the computer has not answered yet: go on without it.
document.addEventListener("unanswered", (event) => {
  const { form, entry } = event.detail;
  const moves = ["step_done", "step_put_off", "withdrawn", "reading_judged", "stands_now"].includes(valueOf(entry, "kind"));
  if (!run || !moves || valueOf(entry, "stream") !== `job/${run.job}`) return;
  if (!form.closest("#step, #undo, #against")) return;
  event.preventDefault();
  unlock(form);
  draw();
});

document.addEventListener("answered", ({ detail }) => {
  const taken = detail.filter(({ next }) => next).map(({ entry }) => ({ ...entry, at: Date.now() }));
  acknowledged = [...acknowledged, ...taken];
  if (run && detail.some(({ refused }) => refused) && !document.querySelector("form.event[data-touched]")) draw().then(showRefused);
});

// `made`: from when the page is; what was taken since does not stand in it.
function begin(made) {
  const data = document.getElementById("run");
  run = data && JSON.parse(data.textContent);
  [acknowledged, ahead] = [acknowledged.filter((entry) => entry.at >= made), false];
  if (run) draw();
}

document.addEventListener("shown", ({ detail }) => begin(detail.at));
begin(Date.now());
