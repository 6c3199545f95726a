// Sends what the forms make, through a queue on this device: written down first, sent after, in order.
// Without this file the same forms post by themselves; with it a dropped connection loses nothing.

import { enhance } from "./fields.js";

const PAUSES_S = [2, 4, 8, 15, 30, 60];
const LONGEST_MS = 60_000; // a photo on one bar of signal
const chip = document.getElementById("waiting");
let sending = null;
let failures = 0;
let timer = 0;

// --- the queue: one table, its running number is this device's sequence --------------------------------------------

const asked = (request) => new Promise((done, failed) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => failed(request.error);
});

const opened = (() => {
  const request = indexedDB.open("knowngood", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
  return asked(request);
})();

async function table(mode, use) {
  const change = (await opened).transaction("entries", mode);
  const kept = new Promise((done, failed) => {
    change.oncomplete = done;
    change.onabort = change.onerror = () => failed(change.error);
  });
  const result = await asked(use(change.objectStore("entries")));
  await kept;
  return result;
}

const entries = () => table("readonly", (t) => t.getAll());
const keep = (entry) => table("readwrite", (t) => t.put(entry));
const drop = (seq) => table("readwrite", (t) => t.delete(seq));

// crypto.randomUUID is missing where a phone reaches the laptop over plain http; this is not.
export function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function device() {
  let name = localStorage.getItem("device");
  if (!name) localStorage.setItem("device", (name = newId()));
  return name;
}

// --- sending -------------------------------------------------------------------------------------------------------

const valueOf = (entry, name) => entry.fields.find(([key]) => key === name)?.[1];

async function post(entry) {
  const body = new FormData();
  // The token belongs to the page that sends, not to the page that was typed on.
  const token = document.querySelector("form.event input[name=csrf]")?.value;
  for (const [name, value] of entry.fields) body.append(name, name === "csrf" && token ? token : value);
  body.append("device", device());
  body.append("device_seq", entry.seq);
  body.append("happened", entry.happened);
  const answer = await fetch(entry.action, {
    method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(LONGEST_MS),
  });
  // The program itself in trouble is like no connection: what was typed stays here and goes out later.
  if (answer.status >= 500) throw new Error(`the program answered ${answer.status}`);
  const said = await answer.json();
  return answer.ok ? { next: said.next } : { refused: { message: said.message, problems: said.problems ?? {} } };
}

// Sends everything that waits, oldest first, and returns the answers by id. A refused entry does not hold up the next.
async function sendAll() {
  const answers = new Map();
  try {
    for (const entry of await entries()) {
      if (entry.refused) continue;
      const answer = await post(entry);
      if (answer.refused) await keep({ ...entry, refused: answer.refused });
      else await drop(entry.seq);
      answers.set(valueOf(entry, "id"), answer);
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
function flush() {
  const round = (sending ?? Promise.resolve()).then(sendAll).finally(showWaiting).then(settle);
  sending = round.catch(() => {});
  return round;
}

async function settle(answers) {
  for (const form of document.querySelectorAll("form.event")) {
    const answer = answers.get(form.elements.id.value);
    if (answer?.next) return go(answer.next);
  }
  await showRefused();
}

function go(next) {
  const target = new URL(next, location.href);
  if (target.origin === location.origin) location.assign(target);
}

async function showWaiting() {
  const waiting = (await entries()).filter((entry) => !entry.refused).length;
  chip.textContent = waiting ? `${waiting} waiting to send` : "";
  chip.classList.toggle("wait", waiting > 0);
}

// --- what the server would not take goes back to where it was typed ------------------------------------------------

const sameForm = (form, entry) =>
  ["kind", "stream", "form"].every((name) => form.elements[name]?.value === valueOf(entry, name));

async function showRefused() {
  const left = [];
  for (const entry of (await entries()).filter((one) => one.refused)) {
    const form = [...document.querySelectorAll("form.event")].find((one) => sameForm(one, entry));
    if (!form) { left.push(entry); continue; }
    fill(form, entry);
    showProblems(form, entry.refused);
    await drop(entry.seq);
  }
  document.getElementById("refused").replaceChildren(...left.map(refusedCard));
}

function fill(form, entry) {
  for (const [name, value] of entry.fields) {
    const control = form.elements[name];
    if (!control || name === "csrf") continue;
    if (control.type === "checkbox") control.checked = true;
    else if (control.type === "file") giveFile(control, value);
    else control.value = value;
    control.dispatchEvent?.(new Event("filled"));
  }
  // What was refused was not stored, so the corrected entry is a new one.
  form.elements.id.value = newId();
  unlock(form);
}

function giveFile(control, file) {
  const carried = new DataTransfer();
  carried.items.add(file);
  control.files = carried.files;
}

function showProblems(form, { message, problems }) {
  say(form, message);
  for (const field of form.querySelectorAll("[data-field]")) {
    const found = problems[field.dataset.field];
    const place = field.querySelector(".error");
    place.textContent = found ?? "";
    place.hidden = !found;
    field.classList.toggle("wrong", Boolean(found));
    const control = field.querySelector("input:not([type=hidden]), textarea, select");
    if (found) control?.setAttribute("aria-invalid", "true");
    else control?.removeAttribute("aria-invalid");
  }
  form.querySelector(".wrong input:not([type=hidden]), .wrong textarea, .wrong select")?.focus();
}

function refusedCard(entry) {
  const card = document.createElement("article");
  const words = document.createElement("p");
  const typed = entry.fields.filter(([name, value]) => typeof value === "string" && value && !entry.hidden.includes(name));
  words.textContent = [`Not taken: ${typed.map(([name, value]) => `${name} ${value}`).join(", ")}.`,
    entry.refused.message, ...Object.values(entry.refused.problems)].filter(Boolean).join(" ");
  const away = document.createElement("button");
  away.textContent = "Throw it away";
  away.addEventListener("click", async () => { await drop(entry.seq); card.remove(); });
  card.append(words, away);
  return card;
}

// --- the forms -----------------------------------------------------------------------------------------------------

// getAttribute: the hidden fields named id and action hide the form's own properties.
const buttonsOf = (form) => document.querySelectorAll(`button[form="${form.getAttribute("id")}"]`);

function say(form, words, calm = false) {
  const place = form.querySelector(".error.whole");
  place.classList.toggle("calm", calm);
  place.textContent = words ?? "";
  place.hidden = !words;
}

export function unlock(form) {
  delete form.dataset.sending;
  for (const button of buttonsOf(form)) button.disabled = false;
}

async function submit(event) {
  const form = event.target;
  if (!form.matches("form.event")) return;
  event.preventDefault();
  if (form.dataset.sending) return;
  form.dataset.sending = "yes";
  form.dispatchEvent(new Event("collect"));
  const fields = [...new FormData(form)].filter(([, value]) => !(value instanceof File && !value.size));
  if (event.submitter?.name) fields.push([event.submitter.name, event.submitter.value]);
  for (const button of buttonsOf(form)) button.disabled = true;
  const hidden = [...form.querySelectorAll(":scope > input[type=hidden]")].map((input) => input.name);
  try {
    await keep({ action: form.getAttribute("action"), happened: new Date().toISOString(), fields, hidden });
  } catch (trouble) {
    // No room or no storage on this device: the browser's own way of posting still works.
    console.warn("This device keeps nothing:", trouble.message);
    return void postPlainly(form, event.submitter);
  }
  setTimeout(showWaiting, 800);
  await flush();
  if ((await entries()).some((entry) => !entry.refused && valueOf(entry, "id") === form.elements.id.value)) {
    const words = "No connection. This is kept on this device and sent as soon as there is one.";
    say(form, words, true);
    const done = event.submitter?.classList.contains("done");
    form.dispatchEvent(new CustomEvent("kept", { bubbles: true, detail: { done, say: (more) => say(form, `${words} ${more}`, true) } }));
  }
}

function postPlainly(form, button) {
  if (button?.name) form.append(Object.assign(document.createElement("input"), { type: "hidden", name: button.name, value: button.value }));
  form.submit();
}

// Private windows may have no storage: then the forms post plainly, see submit().
const begin = () => opened.then(flush, (trouble) => console.warn("This device keeps nothing:", trouble.message));

enhance(document);
document.addEventListener("submit", submit);
addEventListener("online", begin);
// A page that comes back from memory shows a form whose entry may be stored already.
addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
begin();
