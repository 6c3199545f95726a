// A list of readings: one number field, an Add button, a chip for each. A hidden input carries the list;
// without this file it is one plain field with spaces between the numbers.

const parts = (words) => words.split(/[\s;]+/).filter(Boolean);

const button = (words, use) => {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
  made.addEventListener("click", use);
  return made;
};

export function enhanceReadings(list) {
  const one = list.cloneNode();
  const chips = document.createElement("div");
  const draw = () => chips.replaceChildren(...parts(list.value).map((number, at) => {
    const chip = button(number, () => write(parts(list.value).filter((_, other) => other !== at)));
    chip.setAttribute("aria-label", `Take ${number} away`);
    return chip;
  }));
  const write = (numbers) => { list.value = numbers.join(" "); draw(); };
  const take = () => { write([...parts(list.value), ...parts(one.value)]); one.value = ""; };
  const add = button("Add", () => { take(); one.focus(); });
  add.className = "add";
  chips.className = "chips";

  one.value = "";
  one.removeAttribute("name");
  if (list.dataset.keypad) one.inputMode = list.dataset.keypad;
  list.type = "hidden";
  list.removeAttribute("id");
  list.addEventListener("filled", draw);
  // Enter means "this one too"; one that was typed and not added still counts.
  one.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } });
  list.form.addEventListener("collect", take);
  const box = list.closest(".box");
  box.before(chips);
  box.prepend(one);
  box.append(add);
  const hint = box.parentElement.querySelector(".hint");
  if (hint.dataset.plain !== undefined) hint.hidden = true;
  draw();
}
