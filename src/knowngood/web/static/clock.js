// Waits and moments counted down by the device itself, on any page of the job and without a connection.

import { clockTime, pageMade } from "./link.js";
import { play, soundIsOn, turnSoundOn } from "./sound.js";

const MINUTE_MS = 60_000;
const key = `moments ${document.body.dataset.garage} ${document.body.dataset.stream}`;
const chip = document.getElementById("clock");

// Each clock by its name: when it ends by this device's time, and what is then to be said.
const read = () => JSON.parse(localStorage.getItem(key) ?? "{}");

function write(clocks) {
  localStorage.setItem(key, JSON.stringify(clocks));
  draw();
}

function digits(ends) {
  const seconds = Math.max(0, Math.ceil((ends - Date.now()) / 1000));
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  const tail = `${String(minutes).padStart(hours ? 2 : 1, "0")}:${String(seconds % 60).padStart(2, "0")}`;
  return hours ? `${hours}:${tail}` : tail;
}

// Something to do at a moment that has come, or is past.
function since(ends) {
  return Date.now() - ends < MINUTE_MS ? "now" : `was due at ${clockTime(ends)}`;
}

function left({ ends, says }) {
  const over = ends <= Date.now();
  if (says) return over ? `${says}: ${since(ends)}` : `${says} by ${clockTime(ends)} · ${digits(ends)} left`;
  return over ? `Time was up at ${clockTime(ends)}` : `Until ${clockTime(ends)} · ${digits(ends)} left`;
}

// A clock ends with its step or window: the page, or Now without a connection, says which of them are still open.
function running() {
  const open = document.getElementById("clocks")?.dataset.open.split(" ");
  const clocks = read();
  if (!open) return clocks;
  const left = Object.fromEntries(Object.entries(clocks).filter(([name]) => open.includes(name.split(" ")[0])));
  if (Object.keys(left).length < Object.keys(clocks).length) localStorage.setItem(key, JSON.stringify(left));
  return left;
}

// Each clock on the page, and the one that ends first in the header.
function draw() {
  const clocks = running();
  for (const place of document.querySelectorAll("[data-clock]")) {
    const one = clocks[place.dataset.clock];
    place.querySelector("output").textContent = one ? left(one) : "";
    place.querySelector("button").textContent = one ? "Stop the clock" : `Start ${place.dataset.says}`;
  }
  for (const place of document.querySelectorAll("[data-ends]")) {
    place.textContent = Number(place.dataset.ends) > Date.now() ? digits(Number(place.dataset.ends)) : since(Number(place.dataset.ends));
  }
  const rows = Object.values(clocks).sort((one, other) => one.ends - other.ends);
  const first = rows.find(({ ends }) => ends > Date.now()) ?? rows.at(-1);
  chip.hidden = !first;
  chip.textContent = first ? left(first) : "";
}

function ring() {
  const due = Object.entries(read()).filter(([name, { ends }]) => ends <= Date.now() && !rung.has(`${name} ${ends}`));
  for (const [name, one] of due) {
    rung.add(`${name} ${one.ends}`);
    document.getElementById("said").textContent = left(one);
    navigator.vibrate?.([300, 150, 300]);
    play();
  }
}
const rung = new Set(Object.entries(read()).filter(([, { ends }]) => ends <= Date.now()).map(([name, { ends }]) => `${name} ${ends}`));

// --- moments that the computer worked out -----------------------------------------------------------------------------

// They come in the computer's time and are kept in this device's, so that neither clock needs to be right.
function takeMoments() {
  for (const place of document.querySelectorAll("[data-moments]")) {
    const behind = pageMade() - Number(place.dataset.made);
    const others = Object.entries(read()).filter(([name]) => !name.startsWith(`${place.dataset.moments} `));
    const rows = [...place.querySelectorAll("[data-at]")];
    for (const row of rows) {
      const ends = Number(row.dataset.at) + behind;
      row.querySelector("[data-time]").textContent = clockTime(ends);
      row.querySelector(":scope > output")?.setAttribute("data-ends", ends);
      if (row.dataset.rings) others.push([`${place.dataset.moments} ${row.dataset.rings}`, { ends, says: row.dataset.rings }]);
    }
    write(Object.fromEntries(others));
    if (!rows.length) continue; // over: nothing is left to wait for
    showSound(place);
    keepAwake(place);
  }
  draw();
}

function showSound(place) {
  const button = place.querySelector("button[data-sound]");
  button.hidden = false;
  button.textContent = soundIsOn() ? "Sound is on" : "Turn the sound on";
}

// Only a page over an encrypted connection may keep the screen on; on any other, the person has to.
async function keepAwake(place) {
  try {
    await navigator.wakeLock.request("screen");
    place.querySelector("[data-awake]").hidden = true;
  } catch (trouble) {
    console.info("The screen may go dark:", trouble.message); // the page says so
  }
}

document.addEventListener("click", async ({ target }) => {
  const sound = target.closest("button[data-sound]");
  if (sound) {
    await turnSoundOn();
    return showSound(sound.closest("[data-moments]"));
  }
  const place = target.matches("[data-clock] button") && target.closest("[data-clock]");
  if (!place) return;
  const { [place.dataset.clock]: running, ...others } = read();
  write(running ? others : { ...others, [place.dataset.clock]: { ends: Date.now() + place.dataset.minutes * MINUTE_MS } });
});
document.addEventListener("drawn", draw);
document.addEventListener("shown", takeMoments);
setInterval(() => { draw(); ring(); }, 1000);
takeMoments();
