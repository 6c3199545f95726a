"""The page that shows the code and lists the phones: on the computer that keeps the garage only."""

import re
import xml.etree.ElementTree as ET

import pytest
import segno

from knowngood.store.moment import moment_words
from knowngood.web.pages.phones import qr_svg
from knowngood.words import clock_words

ONLY_AT_COMPUTER = (
    "Phones are paired and dropped on the computer that keeps the garage, not on a phone. Open the page Phones there."
)
LINK = "http://192.168.1.20:8321/pair#ACDE-FGHJ-KMNP-QRTV"


def drawn_modules(svg):
    """Which squares are dark, read back from the picture's strokes: moves and runs to the right."""
    path = ET.fromstring(svg).findall("{*}path")[-1] if "xmlns" in svg else ET.fromstring(svg).findall("path")[-1]
    dark, x, y = set(), 0.0, 0.0
    for kind, numbers in re.findall(r"([Mmh])([-\d. ]+)", path.get("d")):
        values = [float(one) for one in re.findall(r"-?\d*\.?\d+", numbers)]
        if kind == "h":
            dark |= {(int(x + step), int(y)) for step in range(int(values[0]))}
            x += values[0]
        else:
            x, y = (values[0], values[1]) if kind == "M" else (x + values[0], y + values[1])
    return dark


def test_the_picture_is_the_link_black_on_white_with_a_quiet_rim():
    svg = str(qr_svg(LINK))
    matrix = segno.make(LINK, error="m", micro=False).matrix
    wanted = {(x + 4, y + 4) for y, row in enumerate(matrix) for x, module in enumerate(row) if module}
    assert drawn_modules(svg) == wanted
    assert svg.index('fill="#fff"') < svg.index('stroke="#000"')
    assert f'viewBox="0 0 {len(matrix) + 8} {len(matrix) + 8}"' in svg
    assert not re.search(r"style|<script|on\w+=", svg)


def test_the_code_stands_in_letters_with_its_time(home, computer):
    page, code = computer.get("/phones").text, home.lan.pairing.code()
    assert f'<p class="code">{code.text}</p>' in page
    assert f"Good until {clock_words(code.until, None)}, for one phone." in page
    assert "http://192.168.1.20:8321/pair" in page
    assert "Use this on a network that you trust" in page
    assert str(qr_svg(home.lan.link(code))) in page


def test_a_new_code_replaces_the_one_that_is_shown(home, computer, token):
    old = home.lan.pairing.code().text
    assert computer.post("/phones/code", data={"csrf": "x"}).status_code == 403
    assert home.lan.pairing.code().text == old
    answer = computer.post("/phones/code", data={"csrf": token(computer)})
    assert (answer.status_code, answer.headers["location"]) == (303, "/phones")
    assert old not in computer.get("/phones").text


def test_phones_are_listed_with_when_they_were_seen_and_dropped_by_name(home, computer, phone):
    page = computer.get("/phones").text
    assert "<h3>Old phone</h3>" in page
    assert "not seen since the program was started" in page
    home.wait(minutes=3)
    phone.get("/")
    seen = moment_words(home.garage.now(), None)
    assert f"last seen {seen}." in computer.get("/phones").text
    assert ">Drop Old phone</button>" in page


def test_a_name_is_shown_as_text(home, stranger, computer):
    stranger.post("/pair", data={"code": home.lan.pairing.code().text, "phone": "<script>alert(1)</script>"})
    page = computer.get("/phones").text
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


@pytest.mark.parametrize("path", ["/phones", "/phones/code"])
def test_a_phone_is_told_to_go_to_the_computer(home, phone, token, path):
    method = "GET" if path == "/phones" else "POST"
    answer = phone.request(method, path, data={"csrf": token(phone)}, headers={"accept": "application/json"})
    assert (answer.status_code, answer.json()["message"]) == (403, ONLY_AT_COMPUTER)


def test_the_bench_leads_there_on_the_computer_only(computer, phone):
    assert 'href="/phones"' in computer.get("/").text
    assert 'href="/phones"' not in phone.get("/").text


def test_served_on_this_computer_only_it_says_how_to_let_phones_in(home, computer):
    home.app.app.state.lan = None
    page = computer.get("/phones").text
    assert "start it again with <b>serve --lan</b>" in page
    assert "<svg" not in page
