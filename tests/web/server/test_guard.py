"""Who may see a garage: strangers nothing, phones while they are paired, other sites never."""

import re

import pytest
from starlette.routing import Mount

from knowngood.store.errors import StoreError
from knowngood.web.server.app import application
from knowngood.web.server.guard import HEADERS, cookie_name
from knowngood.web.server.pairing import Lan, Pairing

ORIGIN = "http://192.168.1.20:8321"
# What the demo's garage holds: title, vehicle, its folder, an instrument, a note, a step, a complaint.
OF_THE_GARAGE = ("hot", "Ondrelle", "Tavrick", "knowngood-", "meter", "Trailer", "relay", "coolant", "jobs", "148")
FILLED = {"job": "runs-hot", "page": "now", "document": "book", "name": "a" * 64, "size": "small"}
NOT_PAIRED = {
    "message": "Scan the code that the computer shows under Phones, or type it in. "
    "What was typed on this phone is kept on it and sent when it is paired again.",
    "problems": {},
}
FROM_ELSEWHERE = (
    "This was sent from another site's page; only a page of Knowngood may send here. Enter it on such a page."
)
NOT_SEALED = (
    "This page was made for a phone or computer as it was known before, so nothing was kept: only a page made for the "
    "one that sends may send. Reload the page and send it again; what you typed is not lost."
)
JSON = {"accept": "application/json"}


def note(client, token, text="belt squeals", headers=None, **more):
    fields = {"id": "1" * 32, "stream": "toolbox", "kind": "noted", "back": "/", "text": text, "csrf": token, **more}
    return client.post("/events", data=fields, headers=headers or {})


def paths(app):
    """Every way into the application but our own files, with a real job, page and document filled in."""
    routes = [route for route in app.app.routes if not isinstance(route, Mount)]
    return [re.sub(r"\{(\w+)(:\w+)?\}", lambda found: FILLED.get(found[1], "x"), route.path) for route in routes]


def test_a_stranger_sees_nothing_of_any_page(home, stranger):
    walked = [path for path in paths(home.app) if path != "/pair"]
    assert len(walked) > 10
    for path in [*walked, "/nowhere", "/job/none/now", "/static", "/pair/x"]:
        for method in ("GET", "POST", "HEAD", "OPTIONS", "DELETE"):
            answer = stranger.request(method, path)
            assert answer.status_code == 401, (method, path)
            assert [word for word in OF_THE_GARAGE if word in answer.text] == [], (method, path)
            assert "set-cookie" not in answer.headers


def test_a_stranger_is_told_what_to_do(stranger):
    page = stranger.get("/job/runs-hot/now").text
    assert "<h1>This phone is not paired</h1>" in page
    assert NOT_PAIRED["message"] in page
    assert stranger.get("/job/runs-hot/run.json").json() == NOT_PAIRED
    assert stranger.post("/events", headers=JSON).json() == NOT_PAIRED


def test_a_trouble_at_what_anyone_may_ask_for_tells_nothing_either(home, stranger):
    for method, path in [("GET", "/static/none.css"), ("DELETE", "/pair"), ("POST", "/static/pair.js")]:
        answer = stranger.request(method, path)
        assert answer.status_code in (404, 405)
        assert home.garage.store.id not in answer.text


def test_a_stranger_is_not_told_where_the_garage_lies_when_it_cannot_be_read(home, stranger, monkeypatch):
    def broken(*_):
        raise StoreError(f"{home.garage.folder} is held by another program.")

    monkeypatch.setattr(type(home.garage.store), "newest_seq", broken)
    answer = stranger.get("/", headers={"cookie": f"{cookie_name(home.garage)}=x", **JSON})
    words = "The garage cannot be read just now, so nobody can be let in. Wait a minute and load the page again."
    assert (answer.status_code, answer.json()["message"]) == (503, words)


def test_a_stranger_may_have_the_page_that_pairs_and_our_own_files(stranger):
    assert stranger.get("/static/pair.js").status_code == 200
    page = stranger.get("/pair")
    assert page.status_code == 200
    assert [word for word in OF_THE_GARAGE if word in page.text] == []


@pytest.mark.parametrize(
    "path", ["/static/../job/runs-hot/now", "/static/%2e%2e/%2e%2e/guard.py", "/static//etc/passwd"]
)
def test_our_own_files_are_no_way_round(stranger, path):
    answer = stranger.get(path)
    assert answer.status_code in (401, 404)
    assert "Tavrick" not in answer.text
    assert "root:" not in answer.text


def test_a_paired_phone_sees_the_garage_and_may_write(phone, token):
    assert phone.get("/job/runs-hot/now").status_code == 200
    assert note(phone, token(phone)).headers["location"] == "/"
    assert "belt squeals" in phone.get("/").text


def test_a_restart_forgets_codes_and_no_phone(home, phone, stranger, token):
    code, sealed = home.lan.pairing.code().text, token(phone)
    again = application(home.garage, Lan(home.lan.host, home.lan.port, Pairing(home.garage.clock)))
    for client in (phone, stranger):
        client._transport.app = again
    assert note(phone, sealed).status_code == 303
    assert stranger.post("/pair", data={"code": code}).status_code == 403


def test_the_cookie_is_kept_from_scripts_and_other_sites(home, stranger):
    answer = stranger.post("/pair", data={"code": home.lan.pairing.code().text})
    words = answer.headers["set-cookie"].split("; ")
    assert re.fullmatch(rf"{cookie_name(home.garage)}=[0-9a-f]{{64}}", words[0])
    assert {one.lower() for one in words[1:]} == {"httponly", "samesite=strict", "path=/", "max-age=31536000"}


def test_only_a_hash_of_the_secret_is_kept(home, phone):
    (paired,) = home.garage.phones().paired
    secret = phone.cookies[cookie_name(home.garage)]
    assert set(paired.data) == {"name", "key_sha256"}
    assert secret not in (home.garage.folder / "garage.sqlite3").read_bytes().decode("latin-1")


@pytest.mark.parametrize("wrong", ["", "0" * 64, "x; y=z", "é"])
def test_a_wrong_cookie_is_none(home, stranger, phone, wrong):
    kept = f"{cookie_name(home.garage)}={wrong}".encode()
    assert stranger.get("/", headers={"cookie": kept}).status_code == 401


def test_the_hash_itself_is_no_key(home, stranger, phone):
    kept = home.garage.phones().paired[0].data["key_sha256"]
    assert stranger.get("/", headers={"cookie": f"{cookie_name(home.garage)}={kept}"}).status_code == 401


def test_a_dropped_phone_is_out_at_once_and_the_others_stay(home, phone, stranger, computer, token):
    stranger.post("/pair", data={"code": home.lan.pairing.code().text, "phone": "New phone"})
    first = home.garage.phones().paired[0].id
    sealed = token(phone)
    assert note(computer, token(computer), stream="phones", kind="withdrawn", event=first).status_code == 303
    assert phone.get("/").status_code == 401
    assert note(phone, sealed, headers=JSON).json() == NOT_PAIRED
    assert stranger.get("/").status_code == 200


def test_a_dropped_phone_cannot_be_let_in_again_by_taking_the_drop_back(home, phone, computer, token):
    first = home.garage.phones().paired[0].id
    note(computer, token(computer), stream="phones", kind="withdrawn", event=first)
    for event in (first, "1" * 32):
        answer = note(
            computer, token(computer), id="2" * 32, stream="phones", kind="withdrawn", event=event, headers=JSON
        )
        assert answer.status_code == 422
    assert phone.get("/").status_code == 401


@pytest.mark.parametrize("kind", ["withdrawn", "phone_paired", "noted"])
def test_a_phone_neither_drops_nor_pairs(home, phone, token, kind):
    event = home.garage.phones().paired[0].id
    answer = note(phone, token(phone), stream="phones", kind=kind, event=event, name="x", key_sha256="0" * 64)
    assert answer.status_code == 403
    assert len(home.garage.store.events("phones")) == 1


def test_nobody_pairs_by_writing_the_event(home, computer, token):
    answer = note(computer, token(computer), stream="phones", kind="phone_paired", name="x", key_sha256="0" * 64)
    assert answer.status_code == 422
    assert home.garage.store.events("phones") == []


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "192.168.1.21", "", "[::1]:8321", "localhost."]
)
def test_another_name_is_refused_by_computer_and_phone_alike(computer, phone, host):
    words = "is not its address. Open the address that Knowngood printed when it was started."
    for client in (computer, phone):
        answer = client.get("/", headers={"host": host})
        assert answer.status_code == 400
        assert words in answer.text
        assert "Tavrick" not in answer.text


@pytest.mark.parametrize("more", [":8321/static/", ":8321/pair?", "/pair#", ":8321@elsewhere.example", ":x", ":"])
def test_a_name_with_more_in_it_opens_nothing(stranger, more):
    answer = stranger.get("/job/runs-hot/now", headers={"host": f"192.168.1.20{more}"})
    assert answer.status_code in (400, 401)
    assert "Tavrick" not in answer.text


def test_two_names_at_once_are_refused(computer):
    twice = [("host", "127.0.0.1:8321"), ("host", "elsewhere.example")]
    assert computer.get("/", headers=twice).status_code == 400


def test_the_computers_name_does_not_make_a_stranger_the_computer(home):
    liar = home.ask("http://127.0.0.1:8321", "192.168.1.30")
    assert liar.get("/").status_code == 401
    for header in ("x-forwarded-for", "x-real-ip", "forwarded", "x-forwarded-host"):
        assert liar.get("/", headers={header: "127.0.0.1"}).status_code == 401


def test_the_computer_needs_pairing_when_it_comes_over_the_network(home):
    assert home.ask(ORIGIN, "192.168.1.20").get("/").status_code == 401
    assert home.ask(ORIGIN, "127.0.0.1").get("/").status_code == 401


@pytest.mark.parametrize(
    "header",
    [
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://192.168.1.20:80"},
        {"origin": "https://192.168.1.20:8321"},
        {"origin": "http://127.0.0.1:8321"},
        {"origin": ""},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
@pytest.mark.parametrize("path", ["/events", "/pair", "/phones/code"])
def test_what_another_site_sends_is_refused(home, phone, token, path, header):
    fields = {"csrf": token(phone), "code": home.lan.pairing.code().text, "kind": "noted", "stream": "toolbox"}
    answer = phone.post(path, data=fields, headers={**header, **JSON})
    assert (answer.status_code, answer.json()) == (403, {"message": FROM_ELSEWHERE, "problems": {}})
    assert len(home.garage.phones().paired) == 1


@pytest.mark.parametrize(
    "header", [{}, {"origin": ORIGIN, "sec-fetch-site": "same-origin"}, {"sec-fetch-site": "none"}]
)
def test_what_our_own_page_sends_is_taken(phone, token, header):
    assert note(phone, token(phone), headers=header).status_code == 303


def test_a_form_without_its_seal_is_refused_and_nothing_typed_is_lost(phone, computer, token):
    for seal in ("", "0" * 64, token(computer), "é"):
        answer = note(phone, seal, headers=JSON)
        assert (answer.status_code, answer.json()) == (403, {"message": NOT_SEALED, "problems": {}})
    page = note(phone, "", form="noted toolbox")
    assert page.status_code == 403
    assert "belt squeals</textarea>" in page.text
    assert NOT_SEALED in page.text
    assert "belt squeals" not in phone.get("/").text
    fresh = re.search(r'name="csrf" value="([0-9a-f]{64})"', page.text)[1]
    assert note(phone, fresh).status_code == 303


def test_every_form_of_every_page_carries_the_seal(computer, phone, home):
    for client in (computer, phone):
        for path in paths(home.app):
            page = client.get(path).text
            assert page.count("<form") == page.count('name="csrf" value="') + page.count('<form class="pair"'), path


@pytest.mark.parametrize(
    ("who", "method", "path", "status"),
    [
        ("computer", "GET", "/", 200),
        ("computer", "GET", "/static/look.css", 200),
        ("computer", "GET", "/static/none.css", 404),
        ("computer", "GET", "/job/runs-hot/card.pdf", 200),
        ("computer", "GET", "/nowhere", 404),
        ("computer", "DELETE", "/events", 405),
        ("computer", "POST", "/events", 403),
        ("stranger", "GET", "/", 401),
        ("stranger", "GET", "/pair", 200),
        ("stranger", "POST", "/pair", 422),
        ("phone", "GET", "/phones", 403),
    ],
)
def test_every_answer_allows_no_script_but_our_own(request, who, method, path, status):
    answer = request.getfixturevalue(who).request(method, path)
    assert answer.status_code == status
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    assert answer.headers.get_list("content-security-policy") == [HEADERS["content-security-policy"]]
    assert "server" not in answer.headers
    assert "unsafe" not in HEADERS["content-security-policy"]
    assert ("cache-control" in answer.headers) is (not path.startswith("/static/"))


def test_a_wrong_address_and_a_crash_have_the_headers_too(home, computer, monkeypatch):
    assert "content-security-policy" in computer.get("/", headers={"host": "elsewhere.example"}).headers

    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(home.app.app.state.garage.store, "event", broken)
    crashed = home.ask("http://127.0.0.1:8321", "127.0.0.1")
    crashed._transport.raise_server_exceptions = False
    answer = crashed.get("/judge?reading=x")
    assert answer.status_code == 500
    assert answer.headers["content-security-policy"] == HEADERS["content-security-policy"]


def test_no_page_has_a_script_or_a_style_in_it(home, computer, stranger):
    pages = [computer.get(path).text for path in paths(home.app) if not path.endswith(("pdf", "json"))]
    for page in [*pages, stranger.get("/").text, stranger.get("/pair").text]:
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=\"|javascript:", page)
        scripts = re.findall(r"<script[^>]*>", page)
        assert [one for one in scripts if "src=" not in one and "application/json" not in one] == []


def test_looking_a_phone_up_costs_one_small_query(home, phone, monkeypatch):
    phone.get("/alive")
    asked = []
    monkeypatch.setattr(type(home.garage), "phones", asked.append)
    assert phone.get("/alive").status_code == 200
    assert asked == []
