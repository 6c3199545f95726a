// Sends what the forms make, through the outbox on this device: written down first, sent after, in order, until
// acknowledged. Without this file the same forms post by themselves; with it a dropped connection loses nothing.

import { ask, isCut } from "./link.js";
import { device, drop, entries, garage, keep, newId, valueOf, waiting } from "./outbox.js";
import { turn } from "./pages.js";
import { shrunk } from "./photo.js";
import { enhance } from "./fields.js";
import { lock, say, showProblems, showRefused, unlock } from "./refused.js";
import { showWaiting } from "./waiting.js";

const PAUSES_S = [2, 4, 8, 15, 30, 60];
const WORDS_MS = 12_000;
const PHOTO_MS = 90_000; // on one bar of signal
const PATIENCE_MS = 1200; // how long a press waits for the answer before the phone goes on by itself
const HELD = [401, 403, 429]; // not the entry's fault: it stays here until this device may send again
let sending = Promise.resolve();
let failures = 0;
let timer = 0;
let leaving = false;

// --- sending -------------------------------------------------------------------------------------------------------

async function post(entry) {
  const body = new FormData();
  // The token belongs to the page that sends, not to the page that was typed on.
  const token = document.querySelector("form.event input[name=csrf]")?.value;
  for (const [name, value] of entry.fields) body.append(name, name === "csrf" && token ? token : value);
  body.append("device", entry.device);
  body.append("device_seq", entry.seq ?? 0);
  body.append("happened", entry.zone ? `${entry.happened}[${entry.zone}]` : entry.happened);
  const photo = entry.fields.some(([, value]) => value instanceof File);
  const request = { method: "POST", body, headers: { Accept: "application/json" } };
  const answer = await ask(entry.action, request, photo ? PHOTO_MS : WORDS_MS);
  const said = await answer.json();
  if (answer.ok) return { next: said.next };
  // The program itself in trouble is like no connection: what was typed stays here and goes out later.
  if (answer.status >= 500 || HELD.includes(answer.status)) throw new Error(said.message);
  return { refused: { message: said.message, problems: said.problems ?? {} }, stale: said.stale };
}

// Taking back what was refused leaves nothing to take back.
async function undone(entry) {
  const target = valueOf(entry, "kind") === "withdrawn" && valueOf(entry, "event");
  const refused = target && (await entries()).find((one) => one.refused && valueOf(one, "id") === target);
  if (refused) await Promise.all([drop(refused.seq), drop(entry.seq)]);
  return Boolean(refused);
}

// Sends everything that waits, oldest first, and returns the answers by id. A refused entry does not hold up the next.
async function sendAll() {
  const answers = new Map();
  try {
    for (const entry of await waiting()) {
      if (await undone(entry)) continue;
      const answer = await post(entry);
      if (answer.refused) await keep({ ...entry, refused: answer.refused });
      else await drop(entry.seq);
      answers.set(valueOf(entry, "id"), { ...answer, entry });
    }
    failures = 0;
  } catch (trouble) {
    console.info("Kept on this device, to be sent later:", trouble.message);
    clearTimeout(timer);
    timer = setTimeout(flush, 1000 * PAUSES_S[Math.min(failures++, PAUSES_S.length - 1)]);
  }
  return answers;
}

// One round at a time: a second caller waits for the running one and then sends what came after it.
export function flush() {
  const round = sending.then(sendAll).finally(showWaiting).then(settle);
  sending = round.then(() => {}, () => {});
  return round;
}

async function settle(answers) {
  for (const form of document.querySelectorAll("form.event")) {
    const answer = answers.get(form.elements.id.value);
    if (answer?.next && (await go(answer.next))) return showRefused();
  }
  // Why it was refused stands on the page as it is now, with what to press; what was typed comes back into its form.
  if ([...answers.values()].some(({ stale }) => stale) && document.body.dataset.stream) await turn(location.href, true);
  if (answers.size) document.dispatchEvent(new CustomEvent("answered", { detail: [...answers.values()] }));
  return showRefused();
}

// Whether the page that comes next is on its way.
async function go(next) {
  const target = new URL(next, location.href);
  if (target.origin !== location.origin) return false;
  if (target.pathname === location.pathname && document.body.dataset.stream) return turn(target);
  leaving = true;
  location.assign(target);
  return true;
}

// --- the forms -----------------------------------------------------------------------------------------------------

// What was typed, ready to be kept; null when a file in it is no photo, which is said at its field.
async function written(form, button) {
  form.dispatchEvent(new Event("collect"));
  const fields = [...new FormData(form)].filter(([, value]) => !(value instanceof File && !value.size));
  if (button?.name) fields.push([button.name, button.value]);
  for (const field of fields.filter(([, value]) => value instanceof File)) {
    try {
      field[1] = await shrunk(field[1]);
    } catch (trouble) {
      console.info("No photo:", trouble.message);
      const words = `“${field[1].name}” is not a photo that this device can read. Take one, or choose a JPEG, PNG or WebP.`;
      showProblems(form, { message: "", problems: { [field[0]]: words } });
      return null;
    }
  }
  const hidden = [...form.querySelectorAll(":scope > input[type=hidden]")].map((input) => input.name);
  const names = Object.fromEntries([...form.querySelectorAll("[data-field]")].map((field) => [field.dataset.field, labelOf(field)]));
  const label = [button?.textContent.trim(), title(form)].filter(Boolean).join(": ");
  return { action: form.getAttribute("action"), happened: new Date().toISOString(), zone: Intl.DateTimeFormat().resolvedOptions().timeZone, fields, hidden, names, label };
}

// The label without the unit that it says to a screen reader.
const labelOf = (field) => field.querySelector("label, legend").firstChild.textContent.trim();

const title = (form) =>
  (form.querySelector("h1") ?? form.closest("details")?.querySelector("summary") ?? form.closest("article, section")?.querySelector("h2, h3"))
    ?.textContent.trim() ?? "";

async function submit(event) {
  const form = event.target;
  if (!form.matches("form.event")) return;
  event.preventDefault();
  if (form.dataset.sending) return;
  lock(form);
  const entry = await written(form, event.submitter);
  if (!entry) return unlock(form);
  try {
    await keep({ ...entry, device: await device() });
  } catch (trouble) {
    return sendUnkept(form, entry, trouble);
  }
  await showWaiting();
  await Promise.race([flush(), pause(isCut() ? 0 : PATIENCE_MS)]);
  // Still this form: the entry waits, or its answer came and the page after it did not.
  const still = form.isConnected && form.dataset.sending && form.elements.id.value === valueOf(entry, "id");
  if (still && !leaving) goOn(form, entry);
}

const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

// Kept and not acknowledged: Now draws its next step, any other form is free for the next entry.
function goOn(form, entry) {
  const unanswered = new CustomEvent("unanswered", { detail: { form, entry }, cancelable: true });
  if (!document.dispatchEvent(unanswered)) return;
  form.reset();
  form.elements.id.value = newId();
  for (const input of form.querySelectorAll("[data-field] input[type=hidden]")) {
    input.value = "";
    input.dispatchEvent(new Event("filled"));
  }
  delete form.dataset.touched;
  showProblems(form, { message: "", problems: {} });
  say(form, "Kept on this device, and sent as soon as the computer answers.", true);
  unlock(form);
}

// No room, or a private window without storage: the only way is straight to the computer.
async function sendUnkept(form, entry, trouble) {
  const full = trouble?.name === "QuotaExceededError";
  console.warn("This device keeps nothing:", trouble?.message);
  try {
    const answer = await post({ ...entry, device: "no storage" });
    if (answer.next && (await go(answer.next))) return;
    if (answer.refused) {
      showProblems(form, answer.refused);
      form.elements.id.value = newId(); // what was refused was not stored, so the corrected entry is a new one
    }
  } catch {
    const why = full ? "This device has no room left" : "This browser keeps nothing (a private window?)";
    say(form, `${why}, and the computer does not answer: this is NOT kept yet, it stands only here. ` +
      (full ? "Free some storage, or come back into the network, then press again." : "Come back into the network, then press again."));
  }
  unlock(form);
}

// Private windows may have no storage: then each form is sent as it is pressed, see sendUnkept.
const begin = () => flush().catch((trouble) => console.warn("This device keeps nothing:", trouble.message));

enhance(document);
document.addEventListener("shown", () => {
  enhance(document);
  // A copy may be shown again and again, and what is entered on it is an entry of its own each time.
  for (const form of document.querySelectorAll("form.event")) form.elements.id.value = newId();
});
document.addEventListener("submit", submit);
document.addEventListener("input", ({ target }) => { if (target.form) target.form.dataset.touched = "yes"; });
addEventListener("online", begin);
// A page that comes back from memory shows a form whose entry may be stored already.
addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
if (garage !== undefined) begin();
