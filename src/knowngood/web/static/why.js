// Why, and the one line of it on Now, while a better plan is looked for: the words follow it, and the advice and the plan are put in place as they come.

import { enhance } from "./fields.js";
import { ask } from "./link.js";

const EVERY_MS = 2000;
const PARTS = ["next", "word", "tests", "plan"];
let timer = 0;

const place = () => document.querySelector("[data-looking]");

const name = (details) => details.querySelector("summary").textContent;

// What a reader opened stays open, and what is being typed stays.
function replace(old, fresh) {
  if (!old) return;
  if (!fresh) return old.remove();
  if (old.querySelector("form[data-touched], form[data-sending]")) return;
  const open = new Set([...old.querySelectorAll("details[open]")].map(name));
  for (const one of fresh.querySelectorAll("details")) one.open ||= open.has(name(one));
  old.replaceWith(fresh);
  enhance(fresh);
}

async function renew() {
  const answer = await ask(location.href);
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const id of PARTS) replace(document.getElementById(id), page.getElementById(id));
}

async function look() {
  const waits = place();
  if (!waits) return;
  try {
    const answer = document.hidden ? null : await ask(waits.dataset.looking);
    const found = answer?.ok ? await answer.json() : null;
    if (found && (found.version !== waits.dataset.version || !found.looking)) await renew();
  } catch (trouble) {
    console.info("No answer:", trouble.message); // shown on the page by link.js
  }
  wait();
}

function wait() {
  clearTimeout(timer);
  if (place()) timer = setTimeout(look, EVERY_MS);
}

document.addEventListener("shown", wait);
wait();
