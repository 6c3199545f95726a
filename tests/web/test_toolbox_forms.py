"""The toolbox on the Bench: an instrument chosen by picture and word, its check, and both in words."""

import re
from html import unescape

import pytest

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.prices_stated import PRICED
from knowngood.acts.record.take import take
from knowngood.acts.tools.prices import priced
from knowngood.engine.measurement.meters.classes import PRESETS


def in_words(toolbox):
    return [words for thing in priced(toolbox) for words in thing.words]


@pytest.fixture
def post(computer, token):
    count = iter(range(1, 100))
    base = {"stream": "toolbox", "back": "/", "csrf": token(computer)}
    return lambda **fields: computer.post("/events", data={**base, "id": f"{next(count):032x}", **fields})


def form_of(page, kind):
    return re.search(rf'<form[^>]*data-kind="{kind}".*?</form>', page, re.DOTALL)[0]


def test_every_kind_is_a_tile_with_a_picture_and_a_word(computer):
    form = form_of(computer.get("/").text, "instrument_added")
    tiles = re.findall(r'<label class="big"><input type="radio".*?</label>', form, re.DOTALL)
    assert len(tiles) == len(PRESETS) + 1
    assert all(one.count("<svg") == 1 and 'aria-hidden="true"' in one for one in tiles)
    words = [re.search(r"<span>(.*?)</span>", one)[1] for one in tiles]
    assert words == [*(one.title for one in PRESETS.values()), "Another"]


def test_an_instrument_without_a_data_sheet_is_kept_and_listed(computer, post):
    assert post(kind="instrument_added", preset="caliper", name="green caliper").status_code == 303
    assert "green caliper: ± (0.02 mm, 0.01 mm)" in computer.get("/").text


def test_a_check_is_listed_with_its_day(computer, post):
    post(kind="instrument_checked", name="blue meter", known="100 ohm", give="0.1", shown="100.4", date="2026-11-20")
    assert "Checked 2026-11-20: shows 100.4 ohm at 100 ohm ± 0.1 ohm, within its class" in computer.get("/").text


def test_a_refused_tile_stays_chosen_and_says_what_is_missing(post):
    form = "instrument_added toolbox"
    answer = post(kind="instrument_added", form=form, preset="pressure_gauge", name="gauge")
    assert answer.status_code == 422
    assert re.search(r'value="pressure_gauge" checked', answer.text)
    assert "Write its lowest and highest mark, such as 0..10 bar." in answer.text


def test_a_price_is_stated_and_listed(computer, post):
    form = form_of(computer.get("/").text, "price_stated")
    assert [re.search(rf'<option value="{what}"', form) is None for what in PRICED] == [False] * len(PRICED)
    assert post(kind="price_stated", what="instrument:micrometer", amount="24,50").status_code == 303
    assert post(kind="price_stated", what="fluid:engine oil", pack="5 L", amount="31").status_code == 303
    said = computer.get("/").text
    assert said.index("What things cost") < said.index("Engine oil, 5 L for 31") < said.index("Micrometer: 24.50")


def test_a_refused_price_says_what_is_missing_at_its_field(post):
    answer = post(kind="price_stated", form="price_stated toolbox", what="fluid:coolant", amount="12")
    assert answer.status_code == 422
    field = re.search(r'data-field="pack".*?</p>\s*</div>', answer.text, re.DOTALL)[0]
    assert "A fluid is bought by the can. Write what one holds, such as 1 L." in field
    assert re.search(r'value="fluid:coolant" selected', answer.text)


DISC = {
    "kind": "reading_judged", "quantity": "disc_thickness", "limits": "min 22 mm", "read": "22.05 22.05 22.10 22.05",
    "zero_error": "0", "meter": "old caliper", "back": "/judge",
}  # fmt: skip


def test_what_an_instrument_costs_stands_beside_what_it_would_settle(computer, post, home):
    post(kind="instrument_added", preset="vernier", name="old caliper")
    post(kind="price_stated", what="instrument:micrometer", amount="24.50")
    page = computer.get(post(**DISC).headers["location"]).text
    listed = dict(re.findall(r"<b>(?:<a[^>]*>)?(Borrow or buy [^<]*)(?:</a>)?</b>\s*<span>([^<]*)</span>", page))
    assert re.search(r"·\s30\smin\s· price 24\.50\s· \d+\s%", listed["Borrow or buy a micrometer"])
    assert re.search(r"·\s30\smin\s· price not stated\s· \d+\s%", listed["Borrow or buy a caliper"])
    assert "Nothing you have settles it: it would take" in page
    kept = home.garage.toolbox().readings[-1].data["judgement"]["settle"]
    shown = re.search(r'<ul class="settle">.*?</ul>', page, re.DOTALL)[0].count("<li")
    assert shown == sum(one["probability"] >= 0.05 for one in kept)


def test_with_no_instrument_there_is_nothing_to_check(computer, home):
    assert 'data-kind="instrument_checked"' in computer.get("/").text
    for number, event in enumerate(home.garage.toolbox().instruments):
        withdraw(home.garage, event.id, number)
    assert 'data-kind="instrument_checked"' not in computer.get("/").text


def withdraw(garage, event_id, number):
    take(garage, Entry(f"{900 + number:032x}", "toolbox", "withdrawn", {"event": event_id}))


def rows_of(page):
    """What is held: its words, and the entries that its button takes back."""
    rows = re.findall(r"<li><div>(.*?)</div><form(.*?)</form></li>", page, re.DOTALL)
    return {
        tuple(re.findall(r"<p>(.*?)</p>", unescape(words))): re.search(r'name="event" value="([^"]+)"', form)[1]
        for words, form in rows
    }


def test_an_instrument_is_taken_away_with_all_its_lines_and_checks(computer, post, home):
    before = rows_of(computer.get("/").text)
    post(kind="instrument_added", preset="multimeter", name="red meter")
    post(kind="instrument_added", name="red meter", line="0.5 % + 2 digits, 0.1 ohm")
    post(kind="instrument_checked", name="red meter", known="100 ohm", give="0.1", shown="100.4")
    ((words, events),) = (row for row in rows_of(computer.get("/").text).items() if row[0][0].startswith("red meter"))
    assert len(words) == 3  # ohm, V and A
    assert post(kind="withdrawn", event=events).status_code == 303
    after = rows_of(computer.get("/").text)
    assert after.keys() == {*before, words}  # what was taken away last stands there to be put back
    assert "red meter" not in {one.data["name"] for one in home.garage.toolbox().checks}
    assert post(kind="withdrawn", event=after[words]).status_code == 303
    assert rows_of(computer.get("/").text) == {**before, words: events}


def test_a_wrench_and_a_tool_are_taken_away_each_by_itself(computer, post, home):
    for words, events in rows_of(computer.get("/").text).items():
        if words[0].startswith(("small torque wrench", "infrared thermometer")):
            assert post(kind="withdrawn", event=events).status_code == 303
    toolbox = home.garage.toolbox()
    assert [one.data["name"] for one in toolbox.wrenches] == ["big torque wrench"]
    assert not any(one.data["name"] == "infrared thermometer" for one in toolbox.tools)
    assert toolbox.instruments


def test_a_price_is_taken_away_with_the_older_ones_of_the_same(computer, post, home):
    for amount in ("30", "24.50"):
        post(kind="price_stated", what="instrument:dial", amount=amount)
    post(kind="price_stated", what="fluid:coolant", pack="2 L", amount="12")
    before = price_words(home)
    post(kind="withdrawn", event=rows_of(computer.get("/").text)[("Dial indicator: 24.50",)])
    assert price_words(home) == [one for one in before if "Dial" not in one]
    assert "Coolant, 2 L for 12" in price_words(home)


def test_with_no_price_left_none_is_spoken_of(computer, post, home):
    assert "What things cost" in computer.get("/").text
    for words, events in rows_of(computer.get("/").text).items():
        if words[0] in price_words(home):
            post(kind="withdrawn", event=events)
    assert "What things cost" not in computer.get("/").text


def price_words(home):
    return in_words(home.garage.toolbox())
