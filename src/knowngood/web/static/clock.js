// Waits counted down by the device itself, on any page of the job and without a connection.

import { clockTime } from "./link.js";

const MINUTE_MS = 60_000;
const key = `clocks ${document.body.dataset.garage} ${document.body.dataset.stream}`;
const chip = document.getElementById("clock");
const read = () => JSON.parse(localStorage.getItem(key) ?? "{}");

function write(clocks) {
  localStorage.setItem(key, JSON.stringify(clocks));
  draw();
}

function left(ends) {
  const seconds = Math.ceil((ends - Date.now()) / 1000);
  if (seconds <= 0) return `Time was up at ${clockTime(ends)}`;
  const minutes = Math.floor(seconds / 60);
  return `Until ${clockTime(ends)} · ${minutes}:${String(seconds % 60).padStart(2, "0")} left`;
}

// Each clock on the page, and the one that ends first in the header.
function draw() {
  const clocks = read();
  for (const place of document.querySelectorAll("[data-clock]")) {
    const ends = clocks[place.dataset.clock];
    place.querySelector("output").textContent = ends ? left(ends) : "";
    place.querySelector("button").textContent = ends ? "Stop the clock" : `Start ${place.dataset.says}`;
  }
  const first = Math.min(...Object.values(clocks));
  chip.hidden = !Number.isFinite(first);
  chip.textContent = chip.hidden ? "" : left(first);
}

function ring() {
  const clocks = read();
  const due = Object.entries(clocks).filter(([name, ends]) => ends <= Date.now() && !rung.has(`${name} ${ends}`));
  for (const [name, ends] of due) {
    rung.add(`${name} ${ends}`);
    document.getElementById("said").textContent = left(ends);
    navigator.vibrate?.([300, 150, 300]);
  }
}
const rung = new Set(Object.entries(read()).filter(([, ends]) => ends <= Date.now()).map((one) => one.join(" ")));

document.addEventListener("click", ({ target }) => {
  const place = target.matches("[data-clock] button") && target.closest("[data-clock]");
  if (!place) return;
  const { [place.dataset.clock]: running, ...others } = read();
  write(running ? others : { ...others, [place.dataset.clock]: Date.now() + place.dataset.minutes * MINUTE_MS });
});
document.addEventListener("drawn", draw);
document.addEventListener("shown", draw);
setInterval(() => { draw(); ring(); }, 1000);
draw();
