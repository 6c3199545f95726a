// Links without a connection: a job's pages are kept on this device, and a link that cannot be followed shows its copy.

import { ask, isCut } from "./link.js";
import { keepPage, keptPage } from "./outbox.js";

const FRESH_MS = 60_000;
const ASK_MS = 2500;
const CUT_ASK_MS = 400; // nobody waits long for what was not there a moment ago
const PARTS = [".columns", ".tabs", ".pages", ".where", ".run", "#run-words", "#data"];

const ours = (link) => link && link.origin === location.origin && !link.target && !link.download && !link.pathname.endsWith(".pdf");

async function answers() {
  try {
    return (await ask("/alive", {}, isCut() ? CUT_ASK_MS : ASK_MS)).ok;
  } catch (trouble) {
    console.info("No answer:", trouble.message);
    return false;
  }
}

// The page that stands here, so that a link within it is told from one to another page.
let path = location.pathname;

const read = (html) => new DOMParser().parseFromString(html, "text/html");

// Forms in which something stands that was not sent yet.
const typedIn = () => [...document.querySelectorAll("form.event[data-touched]:not([data-sending])")];
const keyOf = (form) => form.elements.form?.value;
const sameForm = (page, form) => keyOf(form) && [...page.querySelectorAll("form.event")].find((one) => keyOf(one) === keyOf(form));
// The step's own form is another one as soon as the job has gone on.
const goesAlong = (page, form) => !form.closest("#step") && sameForm(page, form);

// Shows another page in place of this one. A script does not run again, so those that draw listen for "shown".
function show(copy, kept = read(copy.html), typed = []) {
  const at = document.activeElement;
  for (const part of PARTS) {
    const fresh = kept.querySelector(part);
    if (fresh) document.querySelector(part)?.replaceWith(fresh);
  }
  for (const form of typed) {
    const place = sameForm(document, form);
    place.closest("details")?.setAttribute("open", "");
    place.replaceWith(form);
  }
  document.title = kept.title;
  document.body.className = kept.body.className;
  document.body.dataset.seq = kept.body.dataset.seq;
  document.getElementById("newer").hidden = true;
  document.dispatchEvent(new CustomEvent("shown", { detail: { at: copy.at } }));
  if (typed.some((form) => form.contains(at))) return at.focus();
  scrollTo(0, 0);
  document.getElementById("main").focus({ preventScroll: true });
}

// The same page as it is now. When it does not come, this one stays: leaving it for a browser's error page would leave
// nothing to go on from. What is being typed meanwhile goes along into its form; where that is gone, the page stays too,
// unless it was asked for.
export async function turn(url, asked = false) {
  try {
    const at = Date.now();
    const answer = await ask(url);
    if (!answer.ok) return false;
    const html = await answer.text();
    const fresh = read(html), typed = typedIn(), going = typed.filter((form) => goesAlong(fresh, form));
    if (going.length < typed.length && !asked) {
      document.getElementById("newer").hidden = false;
      return false;
    }
    history.replaceState(null, "", url);
    path = location.pathname;
    show({ html, at }, fresh, going);
    return true;
  } catch (trouble) {
    console.info("No answer:", trouble.message);
    return false;
  }
}

async function follow(wanted, remember) {
  const copy = await keptPage(wanted);
  if (copy) {
    if (remember) history.pushState(null, "", wanted);
    path = wanted;
    show(copy);
    return;
  }
  const words = "There is no connection, and this device holds no copy of that page. It opens once the computer answers.";
  document.getElementById("said").textContent = words;
  document.querySelector("#cut span").textContent = words;
}

document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[href]");
  if (!ours(link) || event.button || event.ctrlKey || event.metaKey || event.shiftKey || link.hash) return;
  event.preventDefault();
  if (await answers()) location.assign(link.href);
  else await follow(link.pathname, true);
});

addEventListener("popstate", () => {
  if (location.pathname !== path) follow(location.pathname, false);
});

// Copies of the job's other pages, fetched when there is nothing else to do.
async function keepCopies() {
  const links = [".tabs a", ".pages a"].flatMap((part) => [...document.querySelectorAll(part)]);
  for (const other of new Set(links.filter(ours).map((link) => link.pathname))) {
    const known = await keptPage(other);
    if (known && Date.now() - known.at < FRESH_MS) continue;
    const at = Date.now();
    const answer = await ask(other);
    if (answer.ok) await keepPage({ path: other, html: await answer.text(), at });
  }
}

if (document.body.dataset.stream) {
  const soon = () => setTimeout(() => keepCopies().catch((trouble) => console.info("No copies:", trouble.message)), 1500);
  addEventListener("load", soon);
  document.addEventListener("shown", soon);
}
