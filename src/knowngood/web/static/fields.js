// What a thumb under the vehicle needs at a field: several readings from one number pad, a key for the minus that
// such a pad lacks, and the last values of the instrument in hand. Without this file every field is a plain one.

const enhanced = new WeakSet();

// Called for the page, and again for what is cloned from a template; each field is made ready once.
export function enhance(root) {
  for (const field of root.querySelectorAll(".field")) {
    if (enhanced.has(field)) continue;
    enhanced.add(field);
    const list = field.querySelector("input[data-readings]");
    const offered = field.querySelector(".offers");
    if (list) makeList(field, list);
    if (field.querySelector("input[data-signed]")) addSign(field);
    if (offered) offer(field, offered);
  }
}

const shown = (field) => field.querySelector(".box input:not([type=hidden])");

function button(words, name, use) {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: words, className: name });
  made.addEventListener("click", use);
  return made;
}

// Says to a screen reader, when it has finished, what changed beside the focus.
function teller(field) {
  const place = Object.assign(document.createElement("p"), { className: "sr" });
  place.setAttribute("role", "status");
  field.append(place);
  return (words) => { place.textContent = words; };
}

// --- several readings: one input to type in, a chip for each, and a hidden input that carries the list -------------

// A unit that was typed stays with the number before it; a minus alone is not a reading.
const parts = (words) => words.split(/[,;]?[\s;]+(?=[-+−.,\d])/).map((one) => one.trim()).filter((one) => one && one !== "-");

function makeList(field, list) {
  const one = list.cloneNode();
  const chips = Object.assign(document.createElement("div"), { className: "chips" });
  const tell = teller(field);
  const draw = () => {
    const numbers = parts(list.value);
    chips.hidden = !numbers.length;
    chips.replaceChildren(...numbers.map((number, at) => {
      const chip = button(number, "", () => takeAway(number, at));
      chip.setAttribute("aria-label", `Take ${number} away`);
      return chip;
    }));
  };
  const write = (numbers, words) => {
    list.value = numbers.join(" ");
    draw();
    tell(`${words}, ${numbers.length} in all.`);
  };
  const takeAway = (number, at) => {
    write(parts(list.value).filter((_, other) => other !== at), `${number} taken away`);
    (chips.children[at] ?? chips.lastElementChild ?? one).focus();
  };
  const take = () => {
    const typed = parts(one.value);
    one.value = "";
    if (typed.length) write([...parts(list.value), ...typed], `${typed.join(" ")} added`);
  };

  chips.setAttribute("role", "group");
  chips.setAttribute("aria-label", "Added so far");
  one.value = "";
  one.removeAttribute("name");
  one.inputMode = "decimal";
  list.type = "hidden";
  list.removeAttribute("id");
  list.addEventListener("filled", draw);
  // Enter means "this one too"; one that was typed and not added still counts.
  one.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } });
  list.form.addEventListener("collect", take);
  const box = list.closest(".box");
  box.before(chips);
  box.prepend(one);
  box.append(button("Add", "key", () => { take(); one.focus(); }));
  const hint = field.querySelector(".hint");
  if (hint.dataset.plain !== undefined) hint.hidden = true;
  draw();
}

// --- the sign: a decimal pad has no minus ---------------------------------------------------------------------------

function addSign(field) {
  const input = shown(field);
  const tell = teller(field);
  const key = button("±", "key", () => {
    input.value = /^[-−]/.test(input.value) ? input.value.slice(1) : `-${input.value}`;
    tell(input.value || "Empty");
  });
  key.setAttribute("aria-label", "Change the sign");
  // The number pad stays open: the finger on the key does not take the focus from the field.
  key.addEventListener("mousedown", (event) => event.preventDefault());
  input.inputMode = "decimal";
  input.after(key);
}

// --- the last values of the instrument that is chosen ---------------------------------------------------------------

function offer(field, group) {
  const { elements } = field.closest("form");
  const name = field.dataset.field;
  const tell = teller(field);
  const show = () => {
    for (const chip of group.children) chip.hidden = chip.dataset.meter !== elements.meter?.value;
    group.hidden = [...group.children].every((chip) => chip.hidden);
  };
  const put = (control, value) => {
    const several = control.dataset.readings !== undefined;
    control.value = several ? `${control.value} ${value}`.trim() : value;
    control.dispatchEvent(new Event("filled"));
    tell(`${value} ${several ? "added" : "filled in"}.`);
  };
  group.addEventListener("click", (event) => {
    const chip = event.target.closest("button");
    if (!chip) return;
    put(elements[name], chip.dataset.value);
  });
  for (const happens of ["change", "filled"]) elements.meter?.addEventListener(happens, show);
  show();
}
