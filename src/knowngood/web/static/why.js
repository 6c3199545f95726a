// Why while a better plan is looked for: the words follow it, and the advice and the plan are put in place as they come.

import { ask } from "./link.js";

const EVERY_MS = 2000;
const PARTS = ["next", "word", "plan"];
let timer = 0;

const place = () => document.querySelector("[data-looking]");

// What a reader opened stays open.
function replace(old, fresh) {
  const open = [...old.querySelectorAll("details")].map((one) => one.open);
  fresh.querySelectorAll("details").forEach((one, at) => { one.open = open[at] ?? one.open; });
  old.replaceWith(fresh);
}

async function renew() {
  const answer = await ask(location.href);
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (document.querySelector("#word form[data-touched], #word form[data-sending]")) return;
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
