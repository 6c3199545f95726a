"""Every page, on the phone and on the laptop, by day and by night: readable, reachable, quiet."""

import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from knowngood.quantities.known import QUANTITIES

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
SCREENS = Path(os.environ.get("KNOWNGOOD_SCREENSHOTS") or ROOT / "build/screens")
AXE = (Path(__file__).parent / "vendor/axe.min.js").read_text(encoding="utf-8")
OF_A_JOB = ["now", "why", "kit", "steps", "readings", "fluids", "bolts", "book", "more", "start"]
OF_ANOTHER_JOB = "/job/empty-overnight/why"
PAGES = ["/", "/judge", *(f"/job/ID/{name}" for name in OF_A_JOB), OF_ANOTHER_JOB]
SIZES = {"phone": (390, 844), "laptop": (1280, 800)}

# Contrast of 7:1, asked for because the phone is read in the sun, is a rule that axe leaves off by itself.
RUN_AXE = "axe.run(document, {rules: {'color-contrast-enhanced': {enabled: true}}}).then(found => found.violations)"

SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

# What a finger hits counts: the label around a radio button, the box around a field. A link in a sentence
# is as high as its line. 0.1 px is rounding.
SMALL_TARGETS = """() => {
  const all = document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary");
  const hit = (one) => one.closest("label.big") ?? (one.matches("input") && one.closest(".box")) ?? one;
  const small = (at) => at.width < 47.9 || at.height < 47.9;
  return [...all]
    .filter((one) => one.checkVisibility() && !one.matches(".skip") && !one.closest("p:not(:has(.go))"))
    .filter((one) => small((hit(one) || one).getBoundingClientRect()))
    .map((one) => one.outerHTML.slice(0, 90));
}"""

# Text in pictures at the size it is shown.
SMALL_PRINT = """() => [...document.querySelectorAll("svg.pic text")].filter((one) => {
  if (!one.checkVisibility()) return false;
  const picture = one.ownerSVGElement;
  const scale = picture.getBoundingClientRect().width / picture.viewBox.baseVal.width;
  return parseFloat(getComputedStyle(one).fontSize) * scale < 12.95;
}).map((one) => one.textContent)"""

FONT = """document.fonts.ready.then(() => [...document.fonts]
  .some((one) => one.family.includes("Hyperlegible Next") && one.status === "loaded"))"""


def problems_of(page: Page, *, phone: bool) -> list[str]:
    """Everything that is wrong with the page as it stands, each in a line."""
    page.evaluate(AXE)
    found = [
        f"axe {one['id']}: {one['help']}: {node['html'][:160]}"
        for one in page.evaluate(RUN_AXE)
        for node in one["nodes"]
    ]
    if (wider := page.evaluate(SIDEWAYS)) > 0:
        found.append(f"scrolls sideways by {wider} px")
    if phone:
        found += [f"smaller than 48 px: {html}" for html in page.evaluate(SMALL_TARGETS)]
    found += [f"smaller than 13 px: {words}" for words in page.evaluate(SMALL_PRINT)]
    if not page.evaluate(FONT):
        found.append("the typeface did not load")
    return found


@pytest.fixture(scope="module")
def job(server, page_for_all):
    """The id of the job that Bench links to."""
    page = page_for_all()
    page.goto(server)
    links = page.locator("a[href*='/job/']").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    page.context.close()
    return re.match(r"/job/([^/]+)/", links[0])[1]


@pytest.fixture(scope="module")
def turning(page_for_all):
    """One page for all that only look; a browser takes longer to open one than to turn it."""
    return page_for_all()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", PAGES)
def test_page_is_sound(server, job, turning, path, size, dark):
    page, said = turning, []
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme="dark" if dark else "light")
    page.on("console", lambda message: said.append(f"console {message.type}: {message.text}"))
    page.on("pageerror", lambda error: said.append(f"script: {error}"))
    answer = page.goto(server + path.replace("ID", job))
    assert answer.status == 200
    SCREENS.mkdir(parents=True, exist_ok=True)
    name = path.removeprefix("/job/ID").strip("/").replace("/", "-") or "bench"
    page.screenshot(path=SCREENS / f"{name}-{size}-{'dark' if dark else 'light'}.png", full_page=True)
    assert problems_of(page, phone=size == "phone") + said == []


def test_opened_parts_are_sound_too(server, job, page_for):
    page = page_for(*SIZES["phone"])
    found = {}
    for path in PAGES:
        page.goto(server + path.replace("ID", job))
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        if problems := problems_of(page, phone=True):
            found[path] = problems
    assert found == {}


def test_the_form_of_each_quantity_is_sound(server, page_for):
    page, found = page_for(*SIZES["phone"]), {}
    for name in QUANTITIES:
        page.goto(f"{server}/judge?quantity={name}")
        if problems := problems_of(page, phone=True):
            found[name] = problems
    assert found == {}


def test_pages_allow_nothing_but_our_own_files(server, page_for):
    answer = page_for().goto(server)
    rules = answer.headers["content-security-policy"]
    assert "default-src 'none'" in rules
    assert "unsafe" not in rules
    assert "http" not in rules


def test_a_bad_page_is_seen(page_for):
    page = page_for(*SIZES["phone"])
    page.set_content(
        "<html lang=en><title>bad</title><main><h1>Bad</h1><p style='color:#999'>Faint</p>"
        "<button style='height:20px;padding:0'>Small</button><div style='width:600px'>Wide</div>"
        "<svg class=pic role=img aria-label=x viewBox='0 0 640 50' width=320><text font-size=13 y=20>Tiny</text></svg>"
    )
    found = " ".join(problems_of(page, phone=True))
    assert "axe color-contrast" in found
    assert "scrolls sideways by" in found
    assert "smaller than 48 px: <button" in found
    assert "smaller than 13 px: Tiny" in found
    assert "the typeface did not load" in found
