"""A script typed into every text field, and files that only say that they are photos: shown as text, or refused."""

import io
import json
import re
import sqlite3
from urllib.parse import urlsplit

import pypdf
import pytest
from tests.browser.test_offline import COPIES, NOW, go_to, moved_on, tap, waiting, write_note

pytestmark = pytest.mark.browser

HOSTILE = "<script>document.title='owned'</script><img src=x onerror=\"document.title='owned'\">"
MARKED = re.compile(re.escape(HOSTILE) + r"(mark\d+z)")
TEXT_FIELDS = ":is(textarea, input:not([type=hidden], [type=radio], [type=checkbox], [type=file]))"
# A refusal says what is allowed: "Write the line from its data sheet, such as 0.8 % + 3 digits, 0.1 ohm."
EXAMPLE = re.compile(r"""such as "?(.+?)"?( or .*)?\.$""")
ATTEMPTS = 15
SECOND_JOB = "/job/empty-overnight/"
NOTHING_READ = f'"{HOSTILE}" holds no number. Write one with its unit, such as "41 °C".'
# Kept, and drawn nowhere: why a sheet was changed, and what a vehicle was called before it was renamed.
# Forms whose examples do not fit together: a job that is not at its end, a level and its marks, a share and its frost.
NEVER_RIGHT = {"finished", "topped_up", "mix_read"}
NOWHERE = {("sheet_revised", "why"), ("vehicle_named", "name")}

FORMS = """(fields) => [...document.querySelectorAll("form.event")].map((form) => ({
  at: "#" + form.getAttribute("id"), // form.id is the hidden field of that name
  kind: form.dataset.kind,
  of: form.dataset.kind === "described" ? form.elements.stream.value : "", // every vehicle, for paper names it
  ask: form.elements.ask?.value, // one form a question, and each takes its own kind of answer
  names: [...form.querySelectorAll(fields)].map((one) => one.closest("[data-field]").dataset.field),
}))"""

# Everything that a page holds in words: what is folded away, what stands in fields, what scripts draw from.
WORDS = """() => {
  const of = (root) => [root.textContent, ...[...root.querySelectorAll("input, textarea")].map((one) => one.value),
    ...[...root.querySelectorAll("template")].map((one) => of(one.content))].join("\\n");
  return of(document.body);
}"""
FOREIGN = """() => {
  const of = (root) => [...root.querySelectorAll("img[src=x], script, [onerror]"),
    ...[...root.querySelectorAll("template")].flatMap((one) => of(one.content))];
  return of(document).filter((one) => !one.src?.startsWith(location.origin + "/static/") && one.id !== "run")
    .map((one) => one.outerHTML);
}"""


class Watched:
    """A page, and everything in it that a script would have done."""

    def __init__(self, page):
        self.page, self.done = page, []
        page.on("dialog", self._dialog)
        page.on("pageerror", lambda error: self.done.append(f"error: {error}"))
        page.on("request", lambda one: one.url.endswith("/x") and self.done.append(f"loaded: {one.url}"))
        page.on("console", self._said)

    def _dialog(self, dialog):
        self.done.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _said(self, message):
        if "Content Security Policy" in message.text or "Content-Security-Policy" in message.text:
            self.done.append(message.text)

    def is_sound(self):
        """Nothing was run, and nothing stands there that would run."""
        assert self.page.evaluate(FOREIGN) == []
        assert self.page.title() != "owned"
        assert self.done == []


@pytest.fixture
def watched(page_for):
    page = page_for(390, 844, has_touch=True)
    # A page that catches up with what was just sent would take a field away while it is filled.
    page.route("**/alive?*", lambda route: route.fulfill(json={"seq": 0}))
    page.route("**/why.json", lambda route: route.fulfill(status=503))
    return Watched(page)


@pytest.fixture
def events(tmp_path):
    """What was kept: events() -> (kind, data as it is stored)."""

    def read():
        (file,) = tmp_path.glob("knowngood-demo-*/garage.sqlite3")
        connection = sqlite3.connect(f"file:{file}?mode=ro", uri=True)
        rows = connection.execute("SELECT kind, data FROM event WHERE device != 'demo' ORDER BY seq").fetchall()
        connection.close()
        return [(kind, json.loads(data)) for kind, data in rows]

    return read


def every_page(page, address):
    """Open everything that pages lead to, from the Bench on; yields each path when it stands.

    Of the demo's two jobs the first: the pages of the other are made in the same way.
    """
    found, left = {"/"}, ["/"]
    while left:
        path = left.pop(0)
        page.goto(address + path)
        yield path
        hrefs = page.locator("a[href]").evaluate_all("all => all.map((one) => one.href)")
        here = {urlsplit(href).path for href in hrefs if href.startswith(address)}
        new = sorted(one for one in here - found if not one.endswith(".pdf") and not one.startswith(SECOND_JOB))
        found.update(new)
        left += new


class Typist:
    """Fills every text field with a script, and sends the form; what is refused is put right field by field."""

    def __init__(self, watched, address):
        self.watched, self.page, self.address = watched, watched.page, address
        self.typed, self.tried, self.said, self.given_up = {}, set(), [], []

    def every_form(self, path):
        while form := next(filter(self._is_new, self.page.evaluate(FORMS, f"[data-field] {TEXT_FIELDS}")), None):
            self.tried.add(self._shape(form))
            self._send(form)
            if urlsplit(self.page.url).path != path:
                self.page.goto(self.address + path)

    def _shape(self, form):
        return (form["kind"], form["of"], form["ask"], *form["names"])

    def _is_new(self, form):
        return form["names"] and self._shape(form) not in self.tried

    def _send(self, form):
        at, words = form["at"], {name: self._marked(form, name) for name in form["names"]}
        usual = {name: self._field(at, name).evaluate("one => one.defaultValue") for name in words}
        for _ in range(ATTEMPTS):
            self._fill(at, words)
            status = self._press(at)
            self.watched.is_sound()
            if status == 200:
                return
            assert status == 422
            refused = self._refused(at, words)
            if not refused:
                break
            self.said += refused.values()
            for name, said in refused.items():
                example = EXAMPLE.search(said)
                words[name] = example[1] if example else usual[name]
        self.given_up.append(form["kind"])

    def _marked(self, form, name):
        mark = f"mark{len(self.typed)}z"
        self.typed[mark] = (form["kind"], name)
        return HOSTILE + mark

    def _field(self, at, name):
        return self.page.locator(f"{at} [data-field={name}] {TEXT_FIELDS}")

    def _fill(self, at, words):
        self.page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        # Some are drawn only once they are asked for; what comes back in them is text all the same.
        self.page.evaluate("document.querySelectorAll('[data-field]').forEach((one) => { one.hidden = false; })")
        for chip in self.page.locator(f"{at} .chips button").all():
            chip.click()
        for name, value in words.items():
            self._field(at, name).fill(value)
        for pick in self.page.locator(f"{at} select").all():
            pick.select_option(index=pick.locator("option").count() - 1)  # what was added last
        for radios in self.page.locator(f"{at} fieldset").all():
            if not radios.locator(":checked").count():
                radios.locator("label").first.click()

    def _press(self, at):
        """Press the form's button and wait for what comes of it; returns the answer's status."""
        id = self.page.locator(f"{at} > input[name=id]").input_value()
        with self.page.expect_response("**/events") as answer:
            self.page.locator(f"button[form={at[1:]}]:not([name=instead])").first.click()
        self.page.wait_for_function(
            "([at, id]) => document.querySelector(at)?.value !== id", arg=[f"{at} > input[name=id]", id]
        )
        self.page.wait_for_load_state()
        return answer.value.status

    def _refused(self, at, words):
        """What is said at the fields with something wrong, and about the whole under no name."""
        wrong = [name for name in words if self.page.locator(f"{at} [data-field={name}].wrong").count()]
        said = {name: self.page.locator(f"{at} [data-field={name}] .error").inner_text() for name in wrong}
        assert all(said.values())
        assert said or self.page.locator(f"{at} .error.whole").inner_text()
        return said


def test_a_script_in_every_text_field_is_text_wherever_it_is_shown(watched, own_server, events):
    page, typist, shown = watched.page, Typist(watched, own_server), set()
    for path in every_page(page, own_server):
        typist.every_form(path)
    assert set(typist.given_up) <= NEVER_RIGHT
    assert sum(HOSTILE in said for said in typist.said) >= 10
    kept = {mark for _, data in events() for mark in MARKED.findall("\n".join(strings(data)))}
    jobs = set()
    for path in every_page(page, own_server):
        watched.is_sound()
        shown.update(MARKED.findall(page.evaluate(WORDS)))
        jobs.update(re.findall(r"^/job/[^/]+", path))
    assert {typist.typed[mark] for mark in kept - shown} <= NOWHERE
    assert len(kept & shown) >= 12
    assert len(jobs) == 2
    for job in jobs:
        assert MARKED.search(printed(page, f"{own_server}{job}/book.pdf"))
        assert MARKED.search(printed(page, f"{own_server}{job}/card.pdf"))
        page.goto(f"{own_server}{job}/run.json")
        watched.is_sound()


def test_a_script_that_stands_in_a_page_is_seen(watched):
    watched.page.set_content(f"<p>{HOSTILE}</p>")
    assert len(watched.page.evaluate(FOREIGN)) == 2
    watched.page.set_content("<title>owned</title>")
    with pytest.raises(AssertionError, match="owned"):
        watched.is_sound()


def printed(page, url):
    """The words of a PDF."""
    sheets = pypdf.PdfReader(io.BytesIO(page.request.get(url).body())).pages
    return " ".join(one.extract_text() for one in sheets)


def strings(data):
    """Every piece of text in an event."""
    if isinstance(data, str):
        return [data]
    if isinstance(data, dict):
        data = data.values()
    return [one for part in data for one in strings(part)] if hasattr(data, "__iter__") else []


def with_scripts(sheet):
    """The sheet with a script in everything that it says."""
    end = HOSTILE.replace('"', '\\"')
    said = r'\b(do|title|about|name|question|decides|source|look|mend): "([^"\n]*)"'
    return re.sub(said, lambda found: f'{found[1]}: "{found[2]} {end}"', sheet)


def revised(page, address):
    """Every word of the job's sheet made hostile, through the form that revises it."""
    page.goto(f"{address}/job/runs-hot/steps")
    page.locator("summary", has_text="Revise").tap()
    sheet = page.locator("form[data-kind=sheet_revised] [name=sheet]")
    sheet.fill(with_scripts(sheet.input_value()))
    page.locator("form[data-kind=sheet_revised] [name=why]").fill(HOSTILE)
    with page.expect_navigation():
        page.get_by_role("button", name="Revise it").tap()


def do_hostile_step(page):
    """Send on whatever stands on Now, with a script in each of its text fields."""
    form = page.locator("#step > form")
    for field in form.locator(f"[data-field] {TEXT_FIELDS}").all():
        field.fill(HOSTILE)
    if form.locator("input[type=radio]").count():
        form.locator("label.big").first.tap()
    moved_on(page, page.locator(".act button:not([name=instead])").first.tap)


def put_off(page):
    tap(page, "Can't")
    page.locator("#step h1", has_text="What stops").filter(has_text=HOSTILE).wait_for()
    do_hostile_step(page)


def test_while_cut_off_the_phone_draws_it_as_text(watched, own_server, events):
    page = watched.page
    revised(page, own_server)
    page.goto(own_server + NOW)
    while not page.evaluate(COPIES):
        page.wait_for_timeout(100)
    page.context.set_offline(True)
    for _ in range(18):
        do_hostile_step(page)
        assert HOSTILE in page.locator("#step h1").inner_text()
        assert HOSTILE in page.locator("#undo button").inner_text()
        watched.is_sound()
    put_off(page)
    write_note(page, HOSTILE)
    waiting(page, 20)
    page.locator("#waiting").tap()
    assert page.locator("#outbox li").count() == 20
    assert page.locator("#outbox li", has_text=HOSTILE).count() == 19
    watched.is_sound()
    while page.locator("#step > form").count():
        put_off(page)
    assert HOSTILE in page.locator("#step").inner_text()
    for name in ("Steps", "Readings"):
        page.get_by_role("link", name=name, exact=True).last.tap()
        page.get_by_role("heading", name=name, level=1).wait_for()
        watched.is_sound()
    go_to(page, "Bolts")
    watched.is_sound()
    page.context.set_offline(False)
    page.goto(f"{own_server}/judge")
    cards = page.locator("#refused article")
    cards.first.wait_for()
    assert page.locator("#waiting").is_hidden()
    assert cards.count() >= 5
    assert cards.count() == page.locator("#refused article", has_text=HOSTILE).count()
    assert NOTHING_READ in cards.first.inner_text()
    watched.is_sound()
    assert ("noted", HOSTILE) in [(kind, data.get("text")) for kind, data in events()]


SCRIPTED = f"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9' onload=\"alert(1)\">{HOSTILE}</svg>".encode()
PROGRAM = b"MZ\x90\x00\x03\x00\x00\x00\x04\x00\x00\x00\xff\xff\x00\x00" + bytes(range(256)) * 8
NO_PHOTOS = {
    "drawing": ("drawing.svg", "image/svg+xml", SCRIPTED),
    "drawing renamed": ("holiday.jpg", "image/jpeg", SCRIPTED),
    "program renamed": ("relay.jpg", "image/jpeg", PROGRAM),
}
AT_FIELD = "“{}” is not a photo that this device can read. Take one, or choose a JPEG, PNG or WebP."
AT_SERVER = "The file is not a photo that is kept here. Send JPEG, PNG or WebP."


def chosen(page, address, path, file):
    """The form for a note with words typed and the file chosen."""
    page.goto(address + path)
    form = page.locator("form[data-kind=noted]")
    if not form.is_visible():
        page.locator("details", has=form).locator("summary").click()
    form.locator("[name=text]").fill("crimp after")
    name, kind, content = NO_PHOTOS[file]
    form.locator("[name=photo]").set_input_files({"name": name, "mimeType": kind, "buffer": content})
    return form


@pytest.mark.parametrize("path", [NOW, "/"])
@pytest.mark.parametrize("file", NO_PHOTOS)
def test_what_only_says_that_it_is_a_photo_is_refused_at_its_field(watched, server, path, file):
    page, posted = watched.page, []
    page.on("request", lambda one: one.method == "POST" and posted.append(one.url))
    form = chosen(page, server, path, file)
    form.get_by_role("button", name="Keep it").click()
    said = form.locator("[data-field=photo] .error")
    said.wait_for()
    assert said.inner_text() == AT_FIELD.format(NO_PHOTOS[file][0])
    assert form.locator("[name=text]").input_value() == "crimp after"
    assert form.get_by_role("button", name="Keep it").is_enabled()
    assert page.locator("#waiting").is_hidden()
    assert posted == []
    watched.is_sound()


def test_the_server_looks_into_the_file_itself(watched, own_server, events, tmp_path):
    page = watched.page
    page.goto(own_server + NOW)
    hidden = page.locator("form[data-kind=noted] > input[type=hidden]")
    fields = dict(hidden.evaluate_all("all => all.map((one) => [one.name, one.value])"))
    for name, kind, content in NO_PHOTOS.values():
        sent = {**fields, "text": "crimp after", "photo": {"name": name, "mimeType": kind, "buffer": content}}
        answer = page.request.post(f"{own_server}/events", multipart=sent, headers={"Accept": "application/json"})
        assert (answer.status, answer.json()) == (422, {"message": "", "problems": {"photo": AT_SERVER}})
    assert events() == []
    assert list(tmp_path.glob("knowngood-demo-*/photos/*")) == []


@pytest.mark.parametrize("file", NO_PHOTOS)
def test_without_scripts_the_form_comes_back_with_the_words(page_for, server, file):
    page = page_for(java_script_enabled=False)
    form = chosen(page, server, NOW, file)
    form.get_by_role("button", name="Keep it").click()
    form = page.locator("form[data-kind=noted]")
    assert form.locator("[data-field=photo] .error").text_content() == AT_SERVER
    assert form.locator("[name=text]").input_value() == "crimp after"
