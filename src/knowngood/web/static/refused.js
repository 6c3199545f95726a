// What the server would not take goes back to where it was typed; where that form is not on the page, to a card on top.

import { drop, entries, newId, valueOf } from "./outbox.js";

// getAttribute: the hidden fields named id and action hide the form's own properties.
const buttonsOf = (form) => document.querySelectorAll(`button[form="${form.getAttribute("id")}"]`);

// Inert: what would be typed while it is on its way would belong to neither entry.
export function lock(form) {
  form.dataset.sending = "yes";
  form.inert = true;
  for (const button of buttonsOf(form)) button.disabled = true;
}

export function unlock(form) {
  delete form.dataset.sending;
  form.inert = false;
  for (const button of buttonsOf(form)) button.disabled = false;
}

export function say(form, words, calm = false) {
  const place = form.querySelector(".error.whole");
  place.classList.toggle("calm", calm);
  place.textContent = words ?? "";
  place.hidden = !words;
}

// The form it was sent from, or another made for the same that nobody has begun to fill.
const takesBack = (form, entry) =>
  form.elements.id.value === valueOf(entry, "id") ||
  (!form.dataset.touched && ["kind", "stream", "form"].every((name) => form.elements[name]?.value === valueOf(entry, name)));

export async function showRefused() {
  const left = [];
  for (const entry of (await entries()).filter((one) => one.refused)) {
    const form = [...document.querySelectorAll("form.event")].find((one) => takesBack(one, entry));
    if (!form) { left.push(entry); continue; }
    fill(form, entry);
    showProblems(form, entry.refused);
    await drop(entry.seq);
  }
  document.getElementById("refused").replaceChildren(...left.map(card));
}

function fill(form, entry) {
  for (const [name, value] of entry.fields) {
    const control = form.elements[name];
    if (!control || name === "csrf") continue;
    if (value instanceof File) giveFile(form, name, value);
    else if (control.type === "checkbox") control.checked = true;
    else control.value = value;
    control.dispatchEvent?.(new Event("filled"));
  }
  // What was refused was not stored, so the corrected entry is a new one.
  form.elements.id.value = newId();
  form.dataset.touched = "yes";
  form.closest("details")?.setAttribute("open", "");
  unlock(form);
}

function giveFile(form, name, file) {
  const carried = new DataTransfer();
  carried.items.add(file);
  form.querySelector(`input[type=file][name="${name}"]`).files = carried.files;
}

export function showProblems(form, { message, problems }) {
  say(form, message);
  for (const field of form.querySelectorAll("[data-field]")) {
    const found = problems[field.dataset.field];
    const place = field.querySelector(".error");
    place.textContent = found ?? "";
    place.hidden = !found;
    field.classList.toggle("wrong", Boolean(found));
    if (found) field.hidden = false; // some are drawn only once they are asked for
    const control = field.querySelector("input:not([type=hidden]), textarea, select");
    if (found) control?.setAttribute("aria-invalid", "true");
    else control?.removeAttribute("aria-invalid");
  }
  form.querySelector(".wrong input:not([type=hidden]), .wrong textarea, .wrong select")?.focus();
}

function card(entry) {
  const made = document.createElement("article");
  const words = document.createElement("p");
  const typed = entry.fields.filter(([name, value]) => typeof value === "string" && value && !entry.hidden.includes(name));
  const said = typed.length ? `: ${typed.map(([name, value]) => `${entry.names[name] ?? name} ${value}`).join(", ")}` : "";
  words.textContent = [`Not taken: ${entry.label}${said}.`, entry.refused.message, ...Object.values(entry.refused.problems)]
    .filter(Boolean).join(" ");
  const away = document.createElement("button");
  away.textContent = "Throw it away";
  away.addEventListener("click", async () => { await drop(entry.seq); made.remove(); });
  made.append(words, away);
  return made;
}
