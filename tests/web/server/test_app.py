"""The application without a browser: what it refuses, and that nothing typed is lost or run as markup."""

import re
import warnings

import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.web.server.app import JOB_PAGES, application

NASTY = "<script>alert(1)</script>"


@pytest.fixture
def client(demo_garage):
    at = {"base_url": "http://127.0.0.1", "client": ("127.0.0.1", 50000)}
    with TestClient(application(demo_garage), **at, follow_redirects=False) as made:
        yield made


def post(client, **fields):
    return client.post("/events", data={"id": "1" * 32, "back": "/", "csrf": token(client), **fields})


def token(client):
    """What a page's forms carry to show that they are ours."""
    return re.search(r'name="csrf" value="([0-9a-f]{64})"', client.get("/judge").text)[1]


@pytest.mark.parametrize("page", sorted(JOB_PAGES))
def test_every_page_of_a_job_answers(client, page):
    assert client.get(f"/job/runs-hot/{page}").status_code == 200


def test_a_form_without_scripts_is_kept_once_and_leads_back(client):
    for _ in range(2):
        answer = post(client, stream="toolbox", kind="noted", text="belt squeals")
        assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert client.get("/").text.count("belt squeals") == 1


def test_what_was_typed_stands_in_the_form_that_comes_back(client):
    form = "instrument_added toolbox"
    answer = post(client, stream="toolbox", kind="instrument_added", form=form, name="old meter", line="good")
    assert answer.status_code == 422
    assert 'value="old meter"' in answer.text
    assert "is not a data sheet&#39;s line" in answer.text


def test_other_words_under_a_kept_id_come_back_in_a_form_that_may_be_sent_again(client):
    form = "instrument_added toolbox"
    kept = {"stream": "toolbox", "kind": "instrument_added", "form": form, "line": "1 % + 1 digits, 0.1 ohm"}
    assert post(client, name="blue meter", **kept).status_code == 303
    answer = post(client, name="red meter", **kept)
    assert answer.status_code == 422
    assert "Something else was kept from this form before" in answer.text
    back = answer.text[: answer.text.index('value="red meter"')]
    fresh = re.findall(r'name="id" value="([0-9a-f]{32})"', back)[-1]
    assert fresh != "1" * 32
    assert post(client, id=fresh, name="red meter", **kept).status_code == 303
    assert all(f"{colour} meter" in client.get("/").text for colour in ("blue", "red"))


def test_a_new_job_leads_to_its_start(client):
    opened = {"vehicle": "tavrick", "library": "runs_hot", "scope": "look"}
    answer = post(client, id="a" * 32, stream="job/new", kind="job_opened", **opened)
    assert answer.headers["location"] == f"/job/{'a' * 12}/start"
    assert client.get(answer.headers["location"]).status_code == 200


def test_markup_is_shown_as_text(client):
    post(client, stream="toolbox", kind="noted", text=NASTY)
    assert NASTY not in client.get("/").text
    assert "&lt;script&gt;" in client.get("/").text
    assert post(client, id="2" * 32, stream="vehicle/tavrick", kind="vehicle_renamed", name=NASTY).status_code == 303
    assert NASTY not in client.get("/job/runs-hot/now").text
    assert "&lt;script&gt;" in client.get("/job/runs-hot/now").text


def test_another_site_and_another_host_are_refused(client):
    answer = client.post("/events", data={}, headers={"origin": "http://elsewhere.example"})
    assert answer.status_code == 403
    assert client.get("/", headers={"host": "elsewhere.example"}).status_code == 400


def test_no_script_but_our_own_may_run(client):
    assert "script-src 'self'" in client.get("/").headers["content-security-policy"]
    assert "unsafe" not in client.get("/").headers["content-security-policy"]


@pytest.mark.parametrize("path", ["/nowhere", "/job/none/now", "/job/runs-hot/nowhere", "/job/runs-hot/x.pdf"])
def test_what_is_not_there_is_said_in_words(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert "Back to the Bench" in answer.text


@pytest.mark.parametrize("seq", ["²", "99999999999999999999999", "-1", "x"])
def test_a_strange_device_count_is_no_crash(client, seq):
    answer = post(client, stream="toolbox", kind="noted", text="x", device_seq=seq)
    assert answer.status_code in (303, 422)


@pytest.mark.parametrize("document", ["card", "book"])
def test_both_papers_are_printed(client, document):
    assert client.get(f"/job/runs-hot/{document}.pdf").content.startswith(b"%PDF-")


def test_a_reading_can_be_taken_back_and_the_book_says_so(client):
    page = client.get("/job/runs-hot/readings").text
    event = re.search(r'name="event" value="([0-9a-f]{32})"', page)[1]
    post(client, stream="job/runs-hot", kind="withdrawn", event=event)
    assert "No reading yet." in client.get("/job/runs-hot/readings").text
    assert "reading judged" in client.get("/job/runs-hot/book").text


def test_a_loose_reading_is_attached_to_a_job(client):
    post(client, stream="toolbox", kind="reading_judged", name="spare relay", limits="80..95 ohm", read="88.1 ohm")
    post(client, id="3" * 32, stream="job/runs-hot", kind="reading_attached", reading="1" * 32, limit="")
    assert "spare relay" in client.get("/job/runs-hot/readings").text
    assert "Attached to" in client.get("/").text


def test_cant_asks_why_and_puts_the_step_off(client):
    asked = post(client, instead="cant", back="/job/runs-hot/now")
    assert asked.headers["location"] == "/job/runs-hot/now?cant=1"
    post(client, stream="job/runs-hot", kind="step_put_off", step="measure_coil", why="no light")
    assert "put off</span>: no light" in client.get("/job/runs-hot/steps").text


def test_a_page_can_ask_how_far_its_job_has_come(client):
    before = client.get("/alive", params={"stream": "job/runs-hot"}).json()
    post(client, stream="job/runs-hot", kind="noted", text="belt squeals")
    after = client.get("/alive", params={"stream": "job/runs-hot"}).json()
    assert after["seq"] == before["seq"] + 1
    assert f'data-seq="{after["seq"]}"' in client.get("/job/runs-hot/now").text
    assert client.get("/alive").json() == {"seq": 0}


def test_what_the_manual_says_in_words_stands_at_its_step(client):
    post(
        client,
        stream="job/runs-hot",
        kind="withdrawn",
        event=next(
            one["id"] for one in client.get("/job/runs-hot/run.json").json()["log"] if one.get("step") == "lift"
        ),
    )
    page = client.get("/job/runs-hot/now").text
    assert "crossmember in front; seams behind the front wheels" in page
