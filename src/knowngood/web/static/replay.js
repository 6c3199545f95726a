// How a run stands, from what happened: the rules of acts/job/run.py again, for a phone that is cut off.
// Pure: nothing here touches the page. The test gives both random sheets and expects the same answer.

// Returns the log after one more entry, its fields as typed; what is taken back leaves the log.
export function added(run, log, { id, kind, step, choice, why, limit, event, makes, ends }) {
  const decides = run.steps.find((one) => one.id === step)?.decide;
  switch (kind) {
    case "withdrawn": return log.filter((one) => one.id !== event);
    case "step_done": return [...log, { id, kind, step }, ...(choice ? [{ id, kind: "decided", decision: decides, choice }] : [])];
    case "step_put_off": return [...log, { id, kind, step, why }];
    case "stands_now": return [...log, { id, kind, makes: split(makes), ends: split(ends) }];
    case "reading_judged": return [...log, { id, kind: "read", limit }];
    default: return log;
  }
}

const split = (typed) => (typed ?? "").split(" ").filter(Boolean);

// Folds the log: what was done and said in its order, put off, found and decided.
export function progress(log) {
  const made = { moves: [], put_off: {}, found: {}, decided: {}, read: new Set() };
  for (const one of log) {
    if (["step_done", "stands_now"].includes(one.kind)) made.moves.push(one);
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

// What holds, and the rounds that count as done. Where somebody said that what was set up stands no longer, it falls
// with all that only held with it, and its steps are done anew.
function replayed(run, moves, steps) {
  const holds = new Set(run.start);
  let done = [];
  for (const { step: id, makes, ends } of moves) {
    if (id !== undefined) {
      const step = steps.get(id);
      if (!step) continue;
      step.ends.forEach((fact) => holds.delete(fact));
      step.makes.forEach((fact) => holds.add(fact));
      done.push(id);
      continue;
    }
    const lost = ends.filter((fact) => holds.has(fact) && run.undone[fact]).map((fact) => run.undone[fact]);
    lost.forEach((one) => one.facts.forEach((fact) => holds.delete(fact)));
    makes.forEach((fact) => holds.add(fact));
    done = done.filter((one) => !lost.some((each) => each.steps.includes(one)));
  }
  return { facts: holds, done };
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

// Returns {now, standing: {step id: how}, facts: Set, done: the rounds that count}.
export function stand(run, { moves, put_off, found, decided }) {
  const steps = new Map(run.steps.map((step) => [step.id, step]));
  const { facts, done } = replayed(run, moves, steps);
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
  return { now, standing, facts, done };
}

// What other jobs know of the vehicle: facts that hold, and facts that are gone; a step of this job has a newer word.
function elsewhere(run, log) {
  const [holds, gone, steps] = [new Set(), new Set(), new Map(run.steps.map((step) => [step.id, step]))];
  for (const row of log) {
    if (row.kind === "elsewhere" || row.kind === "stands_now") {
      row.ends.forEach((fact) => { holds.delete(fact); gone.add(fact); });
      row.makes.forEach((fact) => { gone.delete(fact); holds.add(fact); });
      continue;
    }
    const touched = row.kind === "own" ? [...row.ends, ...row.makes] : row.kind === "step_done" ? steps.get(row.step)?.touches ?? [] : [];
    touched.forEach((fact) => { holds.delete(fact); gone.delete(fact); });
  }
  return { holds, gone };
}

// What stands against a step: facts of others that this job does not know of.
export function against(run, log, facts, id) {
  const { holds, gone } = elsewhere(run, log);
  const rows = run.steps.find((step) => step.id === id)?.against ?? [];
  return rows.filter(({ fact, unless, gone: isGone }) => isGone
    ? gone.has(fact) && facts.has(fact) && !unless.some((one) => gone.has(one))
    : holds.has(fact) && !facts.has(fact) && !unless.some((one) => holds.has(one) || facts.has(one)));
}

// By hand: phones in use lack Map.groupBy.
const grouped = (rows, key) =>
  rows.reduce((groups, row) => groups.set(key(row), [...(groups.get(key(row)) ?? []), row]), new Map());
const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

// In words; a job, a step and a reason that rows share are said once, as `acts/job/standing.py` does.
export function saidTogether(rows) {
  const said = [];
  for (const [why, those] of grouped(rows, (row) => row.why)) {
    let before = "";
    const parts = [...grouped(those, ({ since, by, step }) => JSON.stringify([since, by, step])).values()].map((same) => {
      const { since, by, step } = same[0];
      const words = [...new Set(same.map(({ found }) => found))].join(", ") + since + (by === before ? "" : by) + step;
      before = by;
      return words;
    });
    said.push(`${capital(parts.join("; "))}; ${why}.`);
  }
  return said.join(" ");
}

// What to do before walking away; empty where it is safe to stop.
export const beforeLeaving = (run, facts) =>
  run.rest.filter(({ fact, unless }) => facts.has(fact) && !unless.some((one) => facts.has(one))).map((rule) => rule.do);
