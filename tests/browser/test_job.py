"""The demo job, walked to its end by touch in a real browser, and the book printed."""

import io
import re

import pypdf
import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

READINGS = {
    "coil": {"read": "100.9 101.2 101.1", "zero": "0.4", "part": "48", "part_give": "4"},
    "heater": {"read": "15.9 16.2 16.3", "zero": "0.3"},
    "feed_drop": {"read": "0.31 0.33"},
}


ANY_MARK = "() => document.querySelector('form.event')?.elements.id.value"
MARK = "() => document.querySelector('#step > form')?.elements.id.value ?? ''"


def now(page, server):
    page.goto(f"{server}/job/runs-hot/now")
    return page.locator("h1").first.inner_text()


def press(page, label):
    """Press a button of the bar and wait until the server has answered and the next page stands."""
    mark = page.evaluate(ANY_MARK)
    with page.expect_response("**/events"):
        page.get_by_role("button", name=label, exact=True).tap()
    page.wait_for_function(f"(mark) => ({ANY_MARK})() !== mark", arg=mark)


class Thumb:
    """Walks along Now by touch alone, and counts its taps."""

    def __init__(self, page):
        self.page, self.taps = page, 0

    def tap(self, place):
        self.taps += 1
        place.tap()

    def fill(self, place, words):
        """A tap puts the keypad up; typing is no tap."""
        self.tap(place)
        place.fill(words)

    def press(self, label):
        mark = self.page.evaluate(MARK)
        self.tap(self.page.get_by_role("button", name=label, exact=True))
        self.page.wait_for_function(f"mark => document.readyState === 'complete' && ({MARK})() !== mark", arg=mark)

    def step(self):
        """Do what stands on Now; returns whether there was anything to enter."""
        form, before = self.page.locator("#step > form"), self.taps
        if (limit := form.locator("input[name=limit]")).count():
            for name, words in READINGS[limit.input_value()].items():
                self.fill(form.locator(f"[data-field={name}] .box input:not([type=hidden])"), words)
            self.press("Judge")
        else:
            if form.locator("input[type=radio][value=yes]").count():
                self.tap(form.get_by_text("Put a new one in"))
            for name, words in (("amount", "4.5"), ("fluid_c", "18")):
                if (field := form.locator(f"[name={name}]")).count():
                    self.fill(field, words)
            self.press("Done")
        return self.taps - before


def test_the_job_runs_to_its_end_by_touch_and_the_book_is_printed(own_server, phone):
    page, plain_steps = phone, {}
    title, thumb = now(page, own_server), Thumb(page)
    while title != "All steps done":
        plain = not page.locator("#step > form").locator(".fields").count()
        used = thumb.step()
        if plain:
            plain_steps[title] = used
        if "coil" in title and page.locator("article.judged").count():
            assert page.locator("article.judged h2").first.inner_text() == "Within limits"
        title = page.locator("h1").first.inner_text()
    assert len(plain_steps) > 20
    assert max(plain_steps.values()) <= 2, plain_steps
    page.goto(f"{own_server}/job/runs-hot/book")
    page.get_by_label("In one sentence: how was it left?").fill("Fan cuts in, no leak, gauge steady.")
    page.get_by_text("Keep an eye on what is not proved yet, and finish").click()
    press(page, "Finish this job")
    page.goto(f"{own_server}/job/runs-hot/book")
    assert "Finished." in page.locator("main").inner_text()
    answer = page.request.get(f"{own_server}/job/runs-hot/book.pdf")
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(answer.body())).pages)
    for words in ("Fan cuts in, no leak, gauge steady.", "Fan relay coil", "4.6 L at 31"):
        assert words in re.sub(r"\s+", " ", text)


def test_a_reading_alone_is_judged_on_the_bench(own_server, phone):
    page = phone
    page.goto(f"{own_server}/judge")
    page.get_by_label("What is allowed").fill("80..95 ohm")
    page.get_by_label("What you read").fill("101 ohm")
    press(page, "Judge")
    page.wait_for_selector("article.judged")
    assert "Assumed:" in page.locator("article.judged").inner_text()


def test_a_remedy_leads_to_its_field_and_the_verdict_stays(own_server, phone):
    """A tap on it is a link within the page: nothing is fetched, and no older copy of the page comes back."""
    page = phone
    page.goto(f"{own_server}/job/runs-hot/now")
    page.get_by_label("Readings: Fan relay coil").fill("99")
    press(page, "Judge")
    page.wait_for_selector("article.judged")
    remedy = page.locator("article.judged a[href^='#']").first
    field = remedy.get_attribute("href").removeprefix("#")
    remedy.click()
    page.wait_for_function("field => document.activeElement.id === field", arg=field)
    assert page.locator(f"[id='{field}']").is_visible()
    assert page.locator("article.judged").is_visible()
    assert "no connection" not in page.locator("#said").inner_text()


HELD_BACK = """async () => {
  const plain = window.fetch, come = new Promise((done) => { window.release = done; });
  window.fetch = async (path, options) => {
    const answer = await plain(path, options);
    if (String(path) === location.href) await come;
    return answer;
  };
  document.querySelector(".columns").dataset.old = "yes";
  const pages = await import("/static/pages.js");
  window.turned = pages.turn(location.href);
}"""


def test_what_is_typed_while_the_page_is_on_its_way_goes_along(own_server, phone):
    """The job went on elsewhere; nothing stood in a form when the page was asked for, and something when it came."""
    page = phone
    page.goto(f"{own_server}/job/runs-hot/now")
    page.evaluate(HELD_BACK)
    page.locator("summary", has_text="Note or photo").tap()
    field = page.locator("form[data-kind=noted] [name=text]")
    field.fill("half a sent")
    assert page.evaluate("() => { window.release(); return window.turned; }")
    assert page.locator(".columns[data-old]").count() == 0
    page.keyboard.type("ence")
    assert field.input_value() == "half a sentence"
    page.locator("form[data-kind=noted]").get_by_role("button", name="Keep it").tap()
    page.wait_for_function("() => document.querySelector('form[data-kind=noted] [name=text]').value === ''")
    page.goto(f"{own_server}/job/runs-hot/book")
    assert "half a sentence" in page.locator("main").inner_text()


def test_what_was_typed_stays_when_it_cannot_be_used(own_server, phone):
    page = phone
    page.goto(f"{own_server}/judge")
    page.get_by_label("What is allowed").fill("80..95 omh")
    page.get_by_label("What you read").fill("101 ohm")
    press(page, "Judge")
    page.wait_for_selector("p.error:not([hidden])")
    assert '"omh" is not a unit known here; did you mean "ohm"?' in page.locator("main").inner_text()
    assert page.get_by_label("What is allowed").input_value() == "80..95 omh"


def test_undo_takes_the_last_step_back(own_server, phone):
    page = phone
    title = now(page, own_server)
    page.get_by_role("button", name=re.compile("^Undo")).click()
    expect(page.locator("h1").first).not_to_have_text(title)
    assert now(page, own_server) != title
