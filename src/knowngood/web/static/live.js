// Keeps a page from growing old: looks whether the computer answers and whether this job went on elsewhere.

import { ask } from "./link.js";
import { waiting } from "./outbox.js";
import { turn } from "./pages.js";
import { flush } from "./send.js";

const EVERY_MS = 15_000;
const newer = document.getElementById("newer");

const touched = () => document.querySelector("form.event[data-touched], form.event[data-sending]") !== null;

// A page on which something is being typed is never taken away.
async function catchUp(seq) {
  if (seq <= Number(document.body.dataset.seq) || (await waiting()).length) return;
  if (touched()) newer.hidden = false;
  else await turn(location.href);
}

async function look() {
  if (document.hidden) return;
  try {
    const answer = await ask(`/alive?stream=${document.body.dataset.stream}`);
    if (!answer.ok) return;
    if ((await waiting()).length) await flush();
    await catchUp((await answer.json()).seq);
  } catch (trouble) {
    console.info("No answer:", trouble.message); // shown on the page by link.js
  }
}

if (document.body.dataset.stream) {
  setInterval(look, EVERY_MS);
  document.addEventListener("visibilitychange", look);
  document.addEventListener("answered", look);
  newer.addEventListener("click", () => turn(location.href, true));
}
