"""A phone that loses its connection and nothing else: a real browser, a real server, and the store looked into."""

import io
import json
import sqlite3
from collections import Counter

import pytest
from PIL import Image

pytestmark = pytest.mark.browser

NOW = "/job/runs-hot/now"
COPIES = """() => new Promise((done) => {
  const asked = indexedDB.open("knowngood", 2);
  asked.onsuccess = () => {
    const counted = asked.result.transaction("pages").objectStore("pages").count();
    counted.onsuccess = () => done(counted.result >= 10);
  };
})"""

MARK = "() => document.querySelector('#step form')?.elements.id.value"


@pytest.fixture
def photo(tmp_path):
    """A photo as a phone takes it, with its place inside."""
    picture = Image.effect_noise((640, 480), 60).convert("RGB")
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif)
    file = tmp_path / "photo.jpg"
    file.write_bytes(out.getvalue())
    return file


@pytest.fixture
def stored(tmp_path):
    """What the garage holds of those who did not come with another: stored() -> rows as dicts."""

    def read():
        (file,) = tmp_path.glob("knowngood-demo-*/garage.sqlite3")
        with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as connection:
            rows = connection.execute("SELECT id, kind, device, device_seq, happened, data FROM event ORDER BY seq")
            names = ("id", "kind", "device", "seq", "happened", "data")
            found = [dict(zip(names, row, strict=True)) for row in rows]
        connection.close()
        return [one for one in found if "with" not in json.loads(one["data"]) and one["device"] != "demo"]

    return read


@pytest.fixture
def phone(page_for, own_server):
    """A phone on Now, with copies of the job's other pages, cut off."""
    page = page_for(390, 844, has_touch=True)
    page.goto(own_server + NOW)
    while not page.evaluate(COPIES):
        page.wait_for_timeout(100)
    page.context.set_offline(True)
    return page


def waiting(page, count):
    page.locator("#waiting", has_text=f"{count} waiting to send").wait_for()


def all_sent(page):
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator("#waiting").wait_for(state="hidden", timeout=60_000)


def tap(page, label):
    page.get_by_role("button", name=label, exact=True).tap()


READINGS = {
    "coil": {"read": "101.2", "zero": "0.4"},
    "heater": {"read": "16.2"},
    "feed_drop": {"read": "0.31"},
    "battery": {"read": "12.5"},
}


def moved_on(page, press):
    """Press, and wait for another step, or another part of it, to stand on Now."""
    mark = page.evaluate(MARK)
    press()
    page.wait_for_function(f"mark => ({MARK})() !== mark", arg=mark)


def do_step(page):
    """Do what Now asks for, as a person does; returns the kind of entry."""
    form = page.locator("#step form")
    limit = form.locator("input[name=limit]")
    if limit.count():
        for name, words in READINGS[limit.input_value()].items():
            form.locator(f"[data-field={name}] .box input:not([type=hidden])").fill(words)
        moved_on(page, lambda: tap(page, "Judge"))
        return "reading_judged"
    if form.locator("input[type=radio][value=yes]").count():
        form.get_by_text("Put a new one in").tap()
    if form.locator("[name=amount]").count():
        form.locator("[name=amount]").fill("4.5")
    moved_on(page, lambda: tap(page, "Done"))
    return "step_done"


def write_note(page, words, photo=None):
    summary = page.locator("summary", has_text="Note or photo")
    if summary.locator("xpath=..").get_attribute("open") != "":
        summary.tap()
    form = page.locator("form[data-kind=noted]")
    form.locator("[name=text]").fill(words)
    if photo:
        form.locator("[name=photo]").set_input_files(photo)
    form.get_by_role("button", name="Keep it").tap()
    return "noted"


def fluid(page, number):
    form = page.locator("form[data-kind=fluid_moved]")
    if not form.is_visible():
        page.locator("summary", has_text="Write down what went").tap()
    form.get_by_text("on the ground").tap()
    form.locator("[name=amount]").fill(f"0.{number}")
    form.get_by_role("button", name="Keep it").tap()
    return "fluid_moved"


def test_fifty_mixed_entries_offline_are_fifty_in_the_store(phone, stored, photo):
    page, made = phone, Counter()

    def entered(kind):
        made[kind] += 1
        waiting(page, made.total())

    for number in range(26):
        entered(do_step(page))
        if number % 8 == 3:
            entered(write_note(page, f"note {number}", photo if number % 16 == 3 else None))
    for _ in range(3):
        moved_on(page, page.locator("#undo button").tap)
        entered("withdrawn")
    tap(page, "Can't")
    page.get_by_label("What stops it").fill("bolt will not move")
    moved_on(page, lambda: tap(page, "Put it off"))
    entered("step_put_off")
    go_to(page, "Bolts")
    for button in page.get_by_role("button", name="Sign").all()[:2]:
        button.tap()
        entered("bolts_signed")
    go_to(page, "Fluids")
    for number in range(1, 5):
        entered(fluid(page, number))
    page.get_by_role("link", name="Now", exact=True).last.tap()
    while made.total() < 50:
        entered(write_note(page, f"late note {made.total()}"))
    assert {"step_done", "reading_judged", "noted", "withdrawn", "step_put_off", "bolts_signed", "fluid_moved"} <= set(
        made
    )
    assert stored() == []
    all_sent(page)
    rows = stored()
    assert Counter(row["kind"] for row in rows) == made
    assert len({row["id"] for row in rows}) == 50
    assert len({row["device"] for row in rows}) == 1
    assert [row["seq"] for row in rows] == sorted(row["seq"] for row in rows)
    with_photo = [row for row in rows if ".jpg" in row["data"]]
    assert len(with_photo) == 2


def go_to(page, name):
    """By the tabs and links that a thumb has, to pages that this phone holds copies of."""
    page.get_by_role("link", name="More", exact=True).last.tap()
    page.locator(".links b", has_text=name).tap()
    page.get_by_role("heading", name=name, level=1).wait_for()
