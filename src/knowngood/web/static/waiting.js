// What waits on this device: the chip in the header counts it, a tap lists it.

import { clockTime } from "./link.js";
import { waiting } from "./outbox.js";

const chip = document.getElementById("waiting");
const box = document.getElementById("outbox");

function row(entry) {
  const made = document.createElement("li");
  const words = document.createElement("span");
  words.textContent = `${clockTime(entry.happened)} ${entry.label}`;
  made.append(words);
  for (const [, file] of entry.fields.filter(([, value]) => value instanceof File)) {
    const picture = document.createElement("img");
    picture.alt = "Photo, not sent yet";
    picture.src = URL.createObjectURL(file);
    picture.addEventListener("load", () => URL.revokeObjectURL(picture.src));
    made.append(picture);
  }
  return made;
}

export async function showWaiting() {
  const left = await waiting();
  const words = left.length ? `${left.length} waiting to send` : "";
  if (chip.textContent !== words) document.getElementById("said").textContent = words || "Everything is sent.";
  chip.textContent = words;
  chip.hidden = !left.length;
  box.hidden ||= !left.length;
  chip.setAttribute("aria-expanded", String(!box.hidden));
  box.querySelector("ul").replaceChildren(...left.map(row));
}

chip.addEventListener("click", () => {
  box.hidden = !box.hidden;
  chip.setAttribute("aria-expanded", String(!box.hidden));
});
