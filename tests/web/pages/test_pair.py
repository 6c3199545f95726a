"""Pairing over HTTP: one code, one phone; what cannot be used is said and what was typed is kept."""

import json

import pytest

JSON = {"accept": "application/json"}
NEXT = "Take the code that the page Phones on the computer shows now."


@pytest.fixture
def send(home, stranger):
    """Send a code as pair.js does; the newest one when none is given."""
    return lambda code=None, **more: stranger.post(
        "/pair", data={"code": code or home.lan.pairing.code().text, **more}, headers=JSON
    )


def test_a_code_pairs_one_phone(home, stranger, send):
    answer = send(phone=" Garage phone ")
    assert (answer.status_code, answer.json()) == (200, {"next": "/"})
    assert [one.data["name"] for one in home.garage.phones().paired] == ["Garage phone"]
    assert stranger.get("/").status_code == 200


def test_a_phone_without_a_name_is_a_phone(home, send):
    send(phone="  ")
    assert [one.data["name"] for one in home.garage.phones().paired] == ["Phone"]


def test_a_second_phone_cannot_use_the_same_code(home, send):
    code = home.lan.pairing.code().text
    send(code)
    refused = send(code)
    words = f"This code has paired a phone already, and each code is for one. {NEXT}"
    assert (refused.status_code, refused.json()["message"]) == (403, words)
    assert "set-cookie" not in refused.headers
    assert len(home.garage.phones().paired) == 1


def test_an_old_code_a_replaced_one_and_a_wrong_one_say_what_they_are(home, send):
    code = home.lan.pairing.code().text
    home.wait(minutes=10)
    late = send(code)
    assert late.json()["message"] == f"This code is older than ten minutes, and that is how long each is good. {NEXT}"
    code = home.lan.pairing.code().text
    home.lan.pairing.renew()
    words = f"This code was replaced by a newer one, and only the newest is good. {NEXT}"
    assert send(code).json()["message"] == words
    wrong = send("ABC")
    words = f"This code is not the one that the computer shows: 16 letters and digits. {NEXT}"
    assert (wrong.status_code, wrong.json()) == (403, {"message": words, "problems": {}})
    assert home.garage.phones().paired == []


def test_a_hundred_guesses_are_not_looked_at_and_neither_is_a_right_code_among_them(home, stranger, send):
    code = home.lan.pairing.code().text
    answers = [send(f"GUESS {number}") for number in range(100)]
    assert [one.status_code for one in answers] == [403] * 5 + [429] * 95
    right = send(code)
    assert (right.status_code, right.headers["retry-after"]) == (429, "60")
    words = "Too many wrong codes came in, so none is looked at for 60 seconds. Wait that long, then send it again."
    assert right.json()["message"] == words
    assert stranger.get("/").status_code == 401
    home.wait(minutes=1)
    assert send(code).status_code == 200


def test_many_addresses_together_are_slowed_down_too(home, stranger):
    code = home.lan.pairing.code().text
    for number in range(20):
        home.ask("http://192.168.1.20:8321", f"192.168.1.{100 + number}").post("/pair", data={"code": "x"})
    answer = stranger.post("/pair", data={"code": code})
    assert (answer.status_code, answer.headers["retry-after"]) == (429, "600")
    assert "none is looked at for 10 minutes" in answer.text


def test_a_name_that_is_too_long_does_not_use_the_code_up(home, send):
    code = home.lan.pairing.code().text
    answer = send(code, phone="x" * 41)
    words = "The name has 41 letters; 40 fit. Make it shorter; the code is still good."
    assert (answer.status_code, answer.json()["message"]) == (422, words)
    assert send(code, phone="x" * 40).status_code == 200


def test_without_scripts_the_form_posts_by_itself_and_keeps_what_was_typed(home, stranger):
    wrong = stranger.post("/pair", data={"code": "abc<", "phone": '"><script>'})
    assert wrong.status_code == 403
    assert 'value="abc&lt;"' in wrong.text
    assert 'value="&#34;&gt;&lt;script&gt;"' in wrong.text
    right = stranger.post("/pair", data={"code": home.lan.pairing.code().text})
    assert (right.status_code, right.headers["location"]) == (303, "/")


@pytest.mark.parametrize("sent", [b"x" * 2001, b"code=" + b"%00" * 5000])
def test_whoever_is_not_paired_may_send_little(stranger, sent):
    answer = stranger.post("/pair", content=sent, headers=JSON)
    words = "More was sent than a name and a code: at most 2000 bytes belong here. Type it again."
    assert (answer.status_code, answer.json()["message"]) == (413, words)


@pytest.mark.parametrize("sent", [b"", b"\xff\xfe", b"&&&=&", b"code=" + b"%FF" * 20, json.dumps({"code": 1}).encode()])
def test_nonsense_lets_nobody_in(stranger, sent):
    """Without a code it says so, and is no wrong try."""
    empty = not sent.startswith(b"code=")
    answers = [stranger.post("/pair", content=sent, headers=JSON) for _ in range(8 if empty else 1)]
    assert {answer.status_code for answer in answers} == {422 if empty else 403}
    assert not empty or answers[0].json()["message"].startswith("No code was typed.")


def test_the_code_is_in_no_page_that_a_stranger_can_have(home, stranger):
    code = home.lan.pairing.code().text
    for path in ("/pair", "/", "/phones", f"/pair?code={code[:4]}"):
        assert code not in stranger.get(path).text


def test_a_garage_that_is_served_on_its_computer_only_says_so(home, computer):
    home.app.app.state.lan = None
    words = "Phones cannot reach this garage: it is served on this computer only. Start it with serve --lan."
    for answer in (computer.get("/pair", headers=JSON), computer.post("/pair", headers=JSON)):
        assert (answer.status_code, answer.json()["message"]) == (404, words)
