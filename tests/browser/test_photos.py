"""A photo taken at a step, before and after: seen at the step, beside each other in the book, and readable by all."""

import io
import re

import pypdf
import pytest
from PIL import Image, ImageDraw
from tests.browser.test_pages import SCREENS, SIZES, problems_of

pytestmark = pytest.mark.browser

DRAWN = "Promise.all([...document.images].map((one) => { one.loading = 'eager'; return one.decode(); }))"


def a_photo(width: int, height: int, paint: str) -> dict[str, object]:
    """A plug in its housing, by hand; as a file that a phone's camera would hand over."""
    image = Image.new("RGB", (width, height), "#4c5357")
    draw = ImageDraw.Draw(image)
    for x in range(-height, width, 90):
        draw.line((x, height, x + height, 0), fill="#666f74", width=18)
    draw.ellipse((width * 0.3, height * 0.25, width * 0.7, height * 0.75), fill=paint, outline="#15181a", width=20)
    file = io.BytesIO()
    image.save(file, "JPEG")
    return {"name": "IMG 0001.JPG", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def take(page, address: str, photo: dict[str, object], *, words: str = "", when: str = "") -> None:
    """Open the note form of a page, choose a photo as the camera would, and keep it."""
    page.goto(address)
    form = page.locator("form[data-kind=noted]")
    if not form.is_visible():
        page.get_by_text("Note or photo", exact=True).click()
    form.get_by_label("Take a photo").set_input_files(photo)
    form.get_by_label("What you noticed").fill(words)
    if when:
        form.get_by_text(when, exact=True).click()
    events = page.expect_response(lambda answer: answer.url.endswith("/events"))
    with page.expect_navigation(), events as kept:  # once it is kept, the page is drawn anew
        form.get_by_role("button", name="Keep it").click()
    assert kept.value.status in (200, 303)


def whole(page) -> None:
    """Wait until every picture of the page stands in its place; those far below are drawn when they are near."""
    page.evaluate(DRAWN)


@pytest.fixture
def job(own_server, page_for):
    """A job with a before and an after at the step that is next, and two single photos."""
    phone, address = page_for(has_touch=True), f"{own_server}/job/runs-hot"
    take(phone, f"{address}/now", a_photo(1600, 1200, "#b5621f"), when="before", words="Crust at the plug")
    take(phone, f"{address}/now", a_photo(1200, 1600, "#7a8a3a"), words="Where the hose rubbed")
    take(phone, f"{address}/now", a_photo(1600, 1200, "#c9ced1"), when="after")
    take(phone, f"{address}/now", a_photo(3000, 700, "#30343a"))
    return address


def test_photos_stand_at_their_step_and_in_pairs_in_the_book(job, page_for):
    phone = page_for(has_touch=True)
    phone.goto(f"{job}/now")
    does = phone.locator("h1").first.inner_text()
    whole(phone)
    at_step = phone.get_by_role("list", name="Photos of this step").get_by_role("img")
    alts = [one.get_attribute("alt") for one in at_step.all()]
    assert alts == [f"Before: {does}", f"Photo: {does}", f"After: {does}", f"Photo: {does}"]
    phone.goto(f"{job}/book")
    whole(phone)
    rows = [[one.get_attribute("alt") for one in row.get_by_role("img").all()] for row in phone.locator(".row").all()]
    assert rows == [[f"Before: {does}", f"After: {does}"], [f"Photo: {does}", f"Photo: {does}"]]
    tops = [one.bounding_box()["y"] for one in phone.locator(".row img").all()]
    assert tops[0] == tops[1] < tops[2] == tops[3]
    assert phone.locator(".row figcaption").first.inner_text().split("\n") == [f"Before {does}", "Crust at the plug"]
    phone.locator(".row a").first.click()
    phone.wait_for_url(re.compile(r"/photos/[0-9a-f]{64}\.jpg$"))
    printed = phone.request.get(f"{job}/book.pdf").body()
    assert sum(len(page.images) for page in pypdf.PdfReader(io.BytesIO(printed)).pages) == 4


def test_pages_with_photos_are_sound(job, page_for):
    found = {}
    SCREENS.mkdir(parents=True, exist_ok=True)
    for size, shape in SIZES.items():
        for dark in (False, True):
            page, said = page_for(*shape, dark=dark, has_touch=size == "phone"), []
            page.on("console", lambda message, said=said: said.append(f"console {message.type}: {message.text}"))
            for name in ("now", "book"):
                page.goto(f"{job}/{name}")
                whole(page)
                if name == "now":
                    page.get_by_text("Note or photo", exact=True).click()
                shot = f"photos-{name}-{size}-{'dark' if dark else 'light'}.png"
                page.screenshot(path=SCREENS / shot, full_page=True)
                if problems := problems_of(page, phone=size == "phone") + said:
                    found[shot] = problems
    assert found == {}


def test_a_photo_is_kept_and_shown_without_scripts(own_server, page_for):
    page = page_for(java_script_enabled=False)
    take(page, f"{own_server}/", a_photo(800, 600, "#b5621f"), words="Jaws of the small vise")
    assert page.locator(".photos img").get_attribute("alt") == "Photo: Jaws of the small vise"
    assert page.locator(".photos img").evaluate("one => one.naturalWidth") == 480
