"""A phone that loses its connection and nothing else: a real browser, a real server, and the store looked into."""

import io
import json
import re
import sqlite3
from collections import Counter
from contextlib import closing

import pytest
from PIL import Image
from playwright.sync_api import Error
from tests.browser.test_pages import SCREENS, problems_of

pytestmark = pytest.mark.browser

NOW = "/job/runs-hot/now"
COPIES = """() => new Promise((done) => {
  const asked = indexedDB.open("knowngood", 2);
  asked.onsuccess = () => {
    const counted = asked.result.transaction("pages").objectStore("pages").count();
    counted.onsuccess = () => done(counted.result >= 10);
  };
})"""

MARK = "at => document.querySelector(at)?.elements.id.value"
STEP = "#step > form"


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
        with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as connection:
            rows = connection.execute("SELECT id, kind, device, device_seq, happened, data FROM event ORDER BY seq")
            names = ("id", "kind", "device", "seq", "happened", "data")
            found = [dict(zip(names, row, strict=True)) for row in rows]
        return [one for one in found if "with" not in json.loads(one["data"]) and one["device"] != "demo"]

    return read


@pytest.fixture
def phone(page_for, own_server):
    """A phone on Now, cut off."""
    page = page_for(390, 844, has_touch=True)
    page.goto(own_server + NOW)
    page.context.set_offline(True)
    return page


@pytest.fixture
def phone_with_copies(phone):
    """A phone that had the time to keep copies of the job's other pages before it was cut off."""
    phone.context.set_offline(False)
    while not phone.evaluate(COPIES):
        phone.wait_for_timeout(100)
    phone.context.set_offline(True)
    return phone


def waiting(page, count):
    page.locator("#waiting", has_text=f"{count} waiting to send").wait_for()


def all_sent(page):
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator("#waiting").wait_for(state="hidden")


def tap(page, label):
    page.get_by_role("button", name=label, exact=True).tap()


READINGS = {
    "coil": {"read": "101.2", "zero": "0.4"},
    "heater": {"read": "16.2"},
    "feed_drop": {"read": "0.31"},
    "battery": {"read": "12.5"},
}


def moved_on(page, press, at=STEP):
    """Press, and wait until the form is one for another entry: on Now another step, or another part of it."""
    mark = page.evaluate(MARK, at)
    press()
    page.wait_for_function(f"([at, mark]) => ({MARK})(at) !== mark", arg=[at, mark])


def do_step(page):
    """Do what Now asks for, as a person does; returns the kind of entry."""
    form = page.locator("#step > form")
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
    moved_on(page, form.get_by_role("button", name="Keep it").tap, "form[data-kind=noted]")
    return "noted"


def fluid(page, number):
    form = page.locator("form[data-kind=fluid_moved]")
    if not form.is_visible():
        page.locator("summary", has_text="Write down what went").tap()
    form.get_by_text("on the ground").tap()
    form.locator("[name=amount]").fill(f"0.{number}")
    moved_on(page, form.get_by_role("button", name="Keep it").tap, "form[data-kind=fluid_moved]")
    return "fluid_moved"


def test_fifty_mixed_entries_offline_are_fifty_in_the_store(phone_with_copies, stored, photo):
    page, made = phone_with_copies, Counter()

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


def test_a_reload_while_disconnected_loses_no_entry(phone, own_server, stored):
    page = phone
    do_step(page)
    write_note(page, "relay socket green")
    waiting(page, 2)
    with pytest.raises(Error, match="ERR_INTERNET_DISCONNECTED"):
        page.reload()
    page.context.set_offline(False)
    page.goto(own_server + NOW)
    page.get_by_role("heading", name="Measure the coil").wait_for()
    while len(stored()) < 2:
        page.wait_for_timeout(50)
    assert [row["kind"] for row in stored()] == ["reading_judged", "noted"]


def put_off_all(page):
    while page.locator("#step > form").count():
        tap(page, "Can't")
        page.get_by_label("What stops it").fill("dark")
        moved_on(page, lambda: tap(page, "Put it off"))


def test_when_nothing_can_be_next_the_phone_says_whether_it_is_safe_to_stop(phone):
    page = phone
    put_off_all(page)
    words = page.locator("#step").inner_text()
    assert "Nothing can be next: it is safe to stop here" in words
    assert "Standing open: front on two stands" in words
    assert "Measure the coil of the fan relay, relay pulled: put off" in words


def test_with_the_engine_running_nobody_is_told_that_it_is_safe(phone):
    page = phone
    while (
        page.locator("#step h1").inner_text()
        != "Watch for the fan: it must start before the gauge rises above the middle"
    ):
        do_step(page)
    put_off_all(page)
    words = page.locator("#step").inner_text()
    assert "Nothing can be next: make it safe, then stop" in words
    assert "Switch the engine off." in words


def test_a_wait_is_counted_down_by_the_phone_on_every_page(phone_with_copies):
    page = phone_with_copies
    while not page.locator("#step [data-clock]").count():
        do_step(page)
    page.get_by_role("button", name="Start 5 min").tap()
    assert re.fullmatch(r"Until \d\d:\d\d( [AP]M)? · (5:00|4:5\d) left", page.locator("#step output").inner_text())
    page.get_by_role("link", name="Steps", exact=True).last.tap()
    page.get_by_role("heading", name="Steps", level=1).wait_for()
    assert re.match(r"Until .* · (5:00|4:5\d) left", page.locator("#clock").inner_text())
    later = "(minutes) => { const now = Date.now; Date.now = () => now() + minutes * 60_000; }"
    page.evaluate(later, 5)
    page.locator("#clock", has_text="Time was up at").wait_for()
    assert "from" in page.locator("#cut").inner_text()


def test_without_a_copy_a_link_says_so_and_the_page_stays(phone_with_copies):
    page = phone_with_copies
    page.evaluate(NO_COPIES)
    page.get_by_role("link", name="Steps", exact=True).last.tap()
    page.get_by_text("this device holds no copy of that page").first.wait_for()
    assert page.locator("#step h1").is_visible()


NO_COPIES = """() => new Promise((done) => {
  const asked = indexedDB.open("knowngood", 2);
  asked.onsuccess = () => {
    const change = asked.result.transaction("pages", "readwrite");
    change.objectStore("pages").clear();
    change.oncomplete = () => done();
  };
})"""


TWO_YEARS_BEHIND = """() => {
  const Right = Date;
  Date = class extends Right { constructor(...at) { super(...(at.length ? at : [Right.now() - 63e9])); } };
}"""


def test_two_phones_on_one_job_merge_whatever_their_clocks_say(phone, own_server, page_for, stored):
    """The first is cut off and two years behind; the second goes on meanwhile and presses Done on the same step."""
    first, second = phone, page_for(390, 844, has_touch=True)
    first.evaluate(TWO_YEARS_BEHIND)
    assert do_step(first) == "reading_judged"
    for _ in range(3):
        do_step(first)
    waiting(first, 4)
    second.goto(own_server + NOW)
    for _ in range(3):
        answered(second, lambda: do_step(second))
    answered(second, lambda: write_note(second, "second phone was here"))
    all_sent(first)
    rows = stored()
    steps = [json.loads(row["data"])["step"] for row in rows if row["kind"] == "step_done"]
    assert steps == ["measure_coil", "relay_in", "connector"]
    assert [row["kind"] for row in rows].count("reading_judged") == 2
    late = [row for row in rows if row["happened"] < "2026"]
    assert [row["kind"] for row in late] == ["reading_judged", "step_done"]
    assert rows[-2:] == late
    first.get_by_role("heading", name="Feed the fan at its open connector").wait_for()
    second.reload()
    second.get_by_role("heading", name="Feed the fan at its open connector").wait_for()


def answered(page, do):
    """Do something, and wait until the page that comes of it stands."""
    seq = page.locator("body").get_attribute("data-seq")
    do()
    page.wait_for_function("seq => Number(document.body?.dataset.seq) > seq", arg=int(seq))


def test_a_page_learns_that_the_other_phone_went_on_but_is_not_taken_from_under_the_hand(own_server, page_for):
    one, other = page_for(390, 844, has_touch=True), page_for(390, 844, has_touch=True)
    for page in (one, other):
        page.goto(own_server + NOW)
    one.locator("[data-field=read] .box input:not([type=hidden])").fill("10")
    answered(other, lambda: do_step(other))
    look = "document.dispatchEvent(new Event('visibilitychange'))"
    one.evaluate(look)
    one.get_by_role("button", name="This job has gone on elsewhere: show it").wait_for()
    assert one.locator("[data-field=read] .box input:not([type=hidden])").input_value() == "10"
    one.get_by_role("button", name="This job has gone on elsewhere: show it").tap()
    one.get_by_role("button", name="Done", exact=True).wait_for()
    answered(other, lambda: do_step(other))
    one.evaluate(look)
    one.get_by_role("heading", name="Press the relay home").wait_for()


def test_what_the_server_refuses_later_comes_back_to_its_step(phone, stored):
    page = phone
    page.locator("[data-field=read] .box input:not([type=hidden])").fill("fish")
    moved_on(page, lambda: tap(page, "Judge"))
    do_step(page)
    waiting(page, 2)
    all_sent(page)
    page.locator("[data-field=read] .error", has_text='"fish" holds no number.').wait_for()
    assert page.get_by_role("heading", name="Measure the coil of the fan relay, relay pulled").is_visible()
    assert page.get_by_role("button", name="Take fish away").is_visible()
    assert "Not taken: Done: Measure the coil" in page.locator("#refused").inner_text()
    assert stored() == []


def test_undo_of_what_waits_is_sent_after_it(phone, stored):
    page = phone
    for _ in range(2):
        do_step(page)
    moved_on(page, page.locator("#undo button").tap)
    all_sent(page)
    assert [row["kind"] for row in stored()] == ["reading_judged", "step_done", "withdrawn"]
    page.get_by_role("heading", name="Measure the coil of the fan relay, relay pulled").wait_for()


def test_undo_of_what_is_refused_leaves_nothing(phone, stored):
    page = phone
    while not page.locator("#step > form [name=amount]").count():
        do_step(page)
    page.locator("#step > form [name=amount]").fill("fish")
    moved_on(page, lambda: tap(page, "Done"))
    moved_on(page, page.locator("#undo button").tap)
    all_sent(page)
    page.wait_for_load_state("networkidle")
    assert {row["kind"] for row in stored()} == {"reading_judged", "step_done"}
    assert "refill" not in [json.loads(row["data"]).get("step") for row in stored()]
    assert page.locator("#refused").inner_text() == ""


STATES = ["connected", "waiting", "offline", "error"]


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("state", STATES)
def test_now_is_sound_in_every_state(own_server, page_for, state, dark):
    page = page_for(390, 844, dark=dark, has_touch=True)
    page.goto(own_server + NOW)
    page.context.set_offline(state != "connected")
    if state in ("waiting", "offline"):
        do_step(page)
        page.locator("#waiting").tap()
        page.locator("#cut b").wait_for()
    if state == "waiting":
        page.evaluate("document.getElementById('cut').hidden = true")
    if state == "error":
        page.context.set_offline(False)
        page.locator("[data-field=read] .box input:not([type=hidden])").fill("fish")
        tap(page, "Judge")
        page.locator(".field .error:not([hidden])").wait_for()
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"now-{state}-phone-{'dark' if dark else 'light'}.png", full_page=True)
    assert problems_of(page, phone=True) == []


def test_the_answer_comes_and_the_page_after_it_does_not(own_server, page_for, stored):
    """The connection goes between the two: the phone keeps a page to go on from, not the browser's error."""
    page = page_for(390, 844, has_touch=True)
    page.goto(own_server + NOW)
    before = int(page.locator("body").get_attribute("data-seq"))
    page.route("**/job/**", lambda route: route.abort("internetdisconnected"))
    for kind in ("reading_judged", "step_done"):
        assert do_step(page) == kind
    page.get_by_role("heading", name="Press the relay home").wait_for()
    page.locator("#waiting").wait_for(state="hidden")
    assert [row["kind"] for row in stored()] == ["reading_judged", "step_done"]
    page.unroute("**/job/**")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.locator(f'body[data-seq="{before + 2}"]').wait_for()
    assert page.get_by_role("heading", name="Press the relay home").is_visible()


def test_a_stored_step_whose_answer_was_lost_counts_once_on_the_page(own_server, page_for, stored):
    page = page_for(390, 844, has_touch=True)
    page.goto(own_server + NOW)
    page.route("**/events", lambda route: (route.fetch(), route.abort("connectionreset")))
    for _ in range(2):
        do_step(page)
    page.get_by_role("heading", name="Press the relay home").wait_for()
    page.reload()
    page.get_by_role("heading", name="Press the relay home").wait_for()
    page.locator("#waiting").wait_for()  # it is hidden, too, until the page has counted what waits
    # Taking the route away would send on a request that it still holds: a newer route goes first instead.
    page.route("**/events", lambda route: route.continue_())
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator("#waiting").wait_for(state="hidden")
    assert [row["kind"] for row in stored()] == ["reading_judged", "step_done"]
