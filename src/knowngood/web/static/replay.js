// How a run stands, from what happened: the rules of acts/run.py again, for a phone that is cut off.
// Pure: nothing here touches the page. The test gives both random sheets and expects the same answer.

// Returns the log after one more entry, its fields as typed; what is taken back leaves the log.
export function added(run, log, { id, kind, step, choice, why, limit, event }) {
  const decides = run.steps.find((one) => one.id === step)?.decide;
  switch (kind) {
    case "withdrawn": return log.filter((one) => one.id !== event);
    case "step_done": return [...log, { id, kind, step }, ...(choice ? [{ id, kind: "decided", decision: decides, choice }] : [])];
    case "step_put_off": return [...log, { id, kind, step, why }];
    case "reading_judged": return [...log, { id, kind: "read", limit }];
    default: return log;
  }
}

// Folds the log: what was done, put off, found and decided.
export function progress(log) {
  const made = { done: [], put_off: {}, found: {}, decided: {}, read: new Set() };
  for (const one of log) {
    if (one.kind === "step_done") made.done.push(one.step);
    if (one.kind === "step_put_off") made.put_off[one.step] = one.why;
    if (one.kind === "decided") made.decided[one.decision] = one.choice;
    if (one.kind === "read" && one.limit) {
      made.read.add(one.limit);
      made.found[one.limit] = one.outcome; // undefined: judged when the server is back
    }
  }
  return made;
}

const meets = (need, facts) => (need.startsWith("not ") ? !facts.has(need.slice(4)) : facts.has(need));

function factsAfter(start, steps) {
  const facts = new Set(start);
  for (const { ends, makes } of steps) {
    ends.forEach((fact) => facts.delete(fact));
    makes.forEach((fact) => facts.add(fact));
  }
  return facts;
}

// Steps that are not needed, or wait for a reading that was taken and stayed in doubt; and those that wait for what
// only such steps would find. A reading that nobody took holds up who waits for it.
function holdingNobodyUp({ steps }, found, decided, outcome, chance) {
  const idle = new Map();
  for (const step of steps) if (chance(step) !== "later" && outcome(step) !== undefined) idle.set(step.id, chance(step));
  const heard = ({ limit, decided: decision }) => (limit ? limit in found : decision in decided);
  const finds = (one, { limit, decided: decision }) => (limit ? one.read.includes(limit) : one.decide === decision);
  for (let before = -1; before < idle.size;) {
    before = idle.size;
    for (const step of steps) {
      if (!step.when || idle.has(step.id) || heard(step.when)) continue;
      const finders = steps.filter((one) => one !== step && finds(one, step.when)).map((one) => idle.get(one.id));
      if (!finders.length || finders.includes(undefined)) continue;
      idle.set(step.id, finders.includes("waits for a finding") ? "waits for a finding" : "not needed");
    }
  }
  return idle;
}

// Returns {now, standing: {step id: how}, facts: Set}.
export function stand(run, { done, put_off, found, decided }) {
  const steps = new Map(run.steps.map((step) => [step.id, step]));
  const facts = factsAfter(run.start, done.filter((id) => steps.has(id)).map((id) => steps.get(id)));
  const finished = (step) => done.filter((id) => id === step.id).length >= step.rounds;
  const outcome = ({ when }) => (when.limit ? found[when.limit] : decided[when.decided]);
  const chance = (step) => {
    if (!step.when || outcome(step) === step.when.is) return "later";
    return [undefined, "cant_tell"].includes(outcome(step)) ? "waits for a finding" : "not needed";
  };
  const idle = holdingNobodyUp(run, found, decided, outcome, chance);
  const passed = (id) => !steps.has(id) || finished(steps.get(id)) || idle.has(id);
  const ready = (step) => step.needs.every((need) => meets(need, facts)) && step.after.every(passed);
  const standing = {};
  let now = null;
  for (const step of run.steps) {
    let how = finished(step) ? "done" : idle.get(step.id) ?? chance(step);
    if (how === "later" && step.id in put_off) how = "put off";
    if (how === "later" && now === null && ready(step)) [how, now] = ["now", step.id];
    standing[step.id] = how;
  }
  return { now, standing, facts };
}

// What to do before walking away; empty where it is safe to stop.
export const beforeLeaving = (run, facts) =>
  run.rest.filter(({ fact, unless }) => facts.has(fact) && !unless.some((one) => facts.has(one))).map((rule) => rule.do);
