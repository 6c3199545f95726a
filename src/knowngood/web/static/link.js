// Whether the computer answers. Only an answer or its absence counts: a phone may be online and the computer gone.

const ASK_MS = 4000;
let made = Date.now(); // ages are differences of this device's clock, so a wrong clock does not matter
let cutSince = 0;
let stopped = ""; // why the computer takes nothing from this device, in its own words

export const isCut = () => cutSince > 0;

export const pageMade = () => made;

export const clockTime = (at) => new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });

function age(at) {
  const minutes = Math.floor((Date.now() - at) / 60_000);
  return minutes < 1 ? "under a minute ago" : `${minutes} min ago`;
}

function show() {
  const place = document.getElementById("cut");
  place.hidden = !(cutSince || stopped);
  place.querySelector("b").textContent = stopped || "No connection. Go on: what you enter is kept on this device. Do not reload.";
  place.querySelector("span").textContent = `This page is from ${clockTime(made)}, ${age(made)}.`;
}

// Asks the computer for something; a failure or no answer in time throws and is shown.
export async function ask(path, options = {}, within_ms = ASK_MS) {
  try {
    const answer = await fetch(path, { ...options, signal: AbortSignal.timeout(within_ms) });
    cutSince = 0;
    stopped = answer.status === 401 ? (await answer.clone().json()).message : "";
    return answer;
  } catch (trouble) {
    cutSince ||= Date.now();
    throw trouble;
  } finally {
    show();
  }
}

document.addEventListener("shown", ({ detail }) => { made = detail.at; show(); });
setInterval(show, 20_000);
