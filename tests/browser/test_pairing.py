"""The computer shows a code, a phone pairs with one tap, and is out when it is dropped: two real browsers."""

import re

import pytest
from tests.browser.test_pages import SIZES, problems_of

pytestmark = pytest.mark.browser

USED = (
    "This code has paired a phone already, and each code is for one. "
    "Take the code that the page Phones on the computer shows now."
)


def code_on(page, computer):
    page.goto(f"{computer}/phones")
    return page.locator(".code").inner_text()


def quiet(page):
    """Everything that the page says in its console or breaks on."""
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    return said


def pair(page, phones, code, name="Phone"):
    page.goto(f"{phones}/pair#{code}")
    page.get_by_label("What you call this phone").fill(name)
    page.get_by_role("button", name="Pair this phone").tap()
    page.wait_for_url(f"{phones}/")


def test_one_tap_pairs_a_phone_once_and_a_drop_shuts_it_out(lan_server, page_for):
    computer, phones = lan_server
    laptop, phone, second = page_for(*SIZES["laptop"]), page_for(has_touch=True), page_for(has_touch=True)
    code = code_on(laptop, computer)
    assert re.fullmatch(r"(\w{4}-){3}\w{4}", code)
    assert laptop.locator(".qr svg path").count() == 2

    said = quiet(phone)
    phone.goto(f"{phones}/pair#{code}")
    assert phone.url == f"{phones}/pair"
    assert phone.get_by_label("The code").input_value() == code
    assert phone.get_by_label("What you call this phone").input_value() == "Phone"
    phone.get_by_role("button", name="Pair this phone").tap()
    phone.wait_for_url(f"{phones}/")
    assert phone.locator("h1").inner_text() == "Bench"
    assert phone.get_by_text("Ondrelle Tavrick").count() > 0
    assert phone.evaluate("document.cookie") == ""
    assert said == []

    second.goto(f"{phones}/pair#{code}")
    second.get_by_role("button", name="Pair this phone").tap()
    second.locator(".error.whole:not([hidden])").wait_for()
    assert second.locator(".error.whole").inner_text() == USED
    assert second.goto(f"{phones}/").status == 401

    laptop.goto(f"{computer}/phones")
    assert laptop.locator(".code").inner_text() != code
    with laptop.expect_response(lambda answer: answer.url.endswith("/events")) as dropped:
        laptop.get_by_role("button", name="Drop Phone", exact=True).click()
    assert dropped.value.status == 200
    laptop.get_by_text("No phone is paired.").wait_for()
    assert phone.goto(f"{phones}/job/runs-hot/now").status == 401
    assert phone.locator("h1").inner_text() == "This phone is not paired"


def test_a_phone_writes_what_the_computer_then_shows(lan_server, page_for):
    computer, phones = lan_server
    laptop, phone = page_for(*SIZES["laptop"]), page_for(has_touch=True)
    pair(phone, phones, code_on(laptop, computer), "Spare phone")
    phone.get_by_label("What you noticed").first.fill("belt squeals")
    with phone.expect_response(lambda answer: answer.url.endswith("/events")) as kept:
        phone.get_by_role("button", name="Keep it").first.tap()
    assert kept.value.status == 200
    # The computer's page looks by itself whether a phone came, so that nobody has to reload it.
    laptop.evaluate("document.dispatchEvent(new Event('answered'))")
    laptop.get_by_role("heading", name="Spare phone").wait_for()
    assert laptop.get_by_text("last seen").count() == 1
    laptop.goto(f"{computer}/")
    assert laptop.get_by_text("belt squeals").count() == 1


def test_a_code_can_be_typed_when_the_camera_fails(lan_server, page_for):
    computer, phones = lan_server
    code = code_on(page_for(*SIZES["laptop"]), computer)
    phone = page_for(java_script_enabled=False)
    phone.goto(f"{phones}/pair")
    phone.get_by_label("The code").fill(code.lower().replace("-", " "))
    phone.get_by_role("button", name="Pair this phone").click()
    assert phone.locator("h1").inner_text() == "Bench"


def test_a_computer_that_does_not_answer_is_said_and_the_code_stays(lan_server, page_for):
    computer, phones = lan_server
    code = code_on(page_for(*SIZES["laptop"]), computer)
    phone = page_for(has_touch=True)
    phone.goto(f"{phones}/pair#{code}")
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Pair this phone").tap()
    phone.locator(".error.whole:not([hidden])").wait_for()
    words = "The computer did not answer. Look whether this phone is on the same network, then press the button again."
    assert phone.locator(".error.whole").inner_text() == words
    phone.context.set_offline(False)
    phone.get_by_role("button", name="Pair this phone").tap()
    phone.wait_for_url(f"{phones}/")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_its_pages_are_sound(lan_server, page_for, dark):
    computer, phones = lan_server
    laptop, phone = page_for(*SIZES["laptop"], dark=dark), page_for(dark=dark, has_touch=True)
    stranger = page_for(dark=dark)
    pair(phone, phones, code_on(laptop, computer))
    laptop.reload()
    narrow = page_for(dark=dark)
    narrow.goto(f"{computer}/phones")
    phone.goto(f"{phones}/phones")
    stranger.goto(f"{phones}/")
    found = {
        "phones": problems_of(laptop, phone=False),
        "phones, narrow": problems_of(narrow, phone=True),
        "phones, asked by a phone": problems_of(phone, phone=True),
        "not paired": problems_of(stranger, phone=True),
    }
    stranger.goto(f"{phones}/pair#WRONG")
    found["pair"] = problems_of(stranger, phone=True)
    stranger.get_by_role("button", name="Pair this phone").click()
    stranger.locator(".error.whole:not([hidden])").wait_for()
    found["pair, refused"] = problems_of(stranger, phone=True)
    assert {where: problems for where, problems in found.items() if problems} == {}
    white = laptop.locator(".qr").evaluate("one => getComputedStyle(one).backgroundColor")
    assert white == "rgb(255, 255, 255)"
