// Pairs this phone with the code behind the # of the address; without this file the form posts by itself.

const LONGEST_MS = 20_000;
const form = document.querySelector("form.pair");
const button = form.querySelector("button");

// The code leaves the address bar at once: history and bookmarks keep no key.
function takeCode() {
  if (location.hash.length < 2) return;
  form.elements.code.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
}

function say(words) {
  const place = form.querySelector(".error.whole");
  place.textContent = words;
  place.hidden = !words;
}

async function pair(event) {
  event.preventDefault();
  if (button.disabled) return;
  button.disabled = true;
  say("");
  try {
    const answer = await fetch(form.getAttribute("action"), {
      method: "POST",
      body: new URLSearchParams(new FormData(form)),
      headers: { Accept: "application/json" },
      signal: AbortSignal.timeout(LONGEST_MS),
    });
    const said = await answer.json();
    if (answer.ok) return location.replace(said.next);
    say(said.message);
  } catch {
    say("The computer did not answer. Look whether this phone is on the same network, then press the button again.");
  }
  button.disabled = false;
}

takeCode();
addEventListener("hashchange", takeCode);
form.addEventListener("submit", pair);
