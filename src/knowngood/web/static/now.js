// Steps forward without a connection: when Done was kept on this device, the next step is drawn from the run
// document on the page, by the same rules as the server's. A step with something to enter waits for the server.

import { newId, unlock } from "./send.js";

const run = JSON.parse(document.getElementById("run").textContent);
const facts = new Set(run.facts);
const stepOf = (id) => run.steps.find((step) => step.id === id);

const holds = (need) => (need.startsWith("not ") ? !facts.has(need.slice(4)) : facts.has(need));
const passed = (id) => ["done", "not needed", undefined].includes(stepOf(id)?.standing);
const ready = (step) => step.standing === "later" && step.needs.every(holds) && step.after.every(passed);
const asks = (step) => step.read.length || step.torques.length || step.drain || step.fill;

function finish(step) {
  step.ends.forEach((fact) => facts.delete(fact));
  step.makes.forEach((fact) => facts.add(fact));
  if (step.rounds > (step.round ?? 1)) {
    step.round += 1;
    return step;
  }
  step.standing = "done";
  return run.steps.find(ready);
}

function drawLine() {
  for (const tick of document.querySelectorAll(".run [data-step]")) {
    tick.classList.toggle("d", stepOf(tick.dataset.step).standing === "done");
    tick.classList.toggle("n", tick.dataset.step === run.now);
  }
  const done = run.steps.filter((step) => step.standing === "done").length;
  const at = run.now ? `Step ${stepOf(run.now).number} of` : "";
  document.getElementById("run-words").textContent = `${at} ${run.steps.length} steps, ${done} done.`;
}

const element = (tag, words, name = "") => Object.assign(document.createElement(tag), { textContent: words, className: name });

function list(name, items) {
  const made = element("ul", "", name);
  made.append(...items.map((words) => element("li", words)));
  return items.length ? [made] : [];
}

// The card of the step is drawn anew, only the place for what the form has to say stays.
function drawStep(form, step) {
  const where = document.querySelector(`.run [data-step="${step.id}"]`).dataset.where;
  const round = step.rounds > 1 ? ` · round ${step.round} of ${step.rounds}` : "";
  const torques = step.torques.map((t) => `Tighten ${t.count} × ${t.name}${t.torque ? `: ${t.torque}` : ""}`);
  form.querySelector(".body").replaceChildren(
    element("p", `${where} · step ${step.number} of ${run.steps.length}${round}`, "zone"),
    element("h1", step.do),
    ...list("tools", step.tools),
    ...step.cautions.map((words) => element("p", words, "caution")),
    ...list("facts", [...(step.wait ? [`Wait ${step.wait}`] : []), ...torques, ...step.fit.map((words) => `Fit: ${words}`)]),
    form.querySelector(".error.whole"),
  );
}

// The form is now one for the next step: another id, and the step's id wherever the last one stood.
function reuse(form, last, step) {
  form.elements.id.value = newId();
  for (const input of form.querySelectorAll(":scope > input[type=hidden]")) {
    input.value = input.value.split(" ").map((word) => (word === last.id ? step.id : word)).join(" ");
  }
  unlock(form);
}

document.addEventListener("kept", (event) => {
  const form = event.target;
  if (!event.detail.done || !form.querySelector("h1")) return;
  const last = stepOf(run.now);
  const step = finish(last);
  run.now = step?.id ?? null;
  drawLine();
  if (!step) return;
  drawStep(form, step);
  if (asks(step)) event.detail.say("This step asks for something to enter: that can be done once there is a connection.");
  else reuse(form, last, step);
  form.querySelector("h1").scrollIntoView({ block: "nearest" });
});
