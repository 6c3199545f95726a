"""A fault of the program: the page says so, keeps the trace for whoever mends it, and everything else goes on."""

import threading
import warnings

import pytest
from tests.patience import LONGEST_S

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.store.event import Event
from knowngood.web.pages import fluids
from knowngood.web.server import app, failing
from knowngood.web.server.app import JOB_PAGES
from knowngood.web.server.failing import LOG, each, keep_trace, page_of, part

JOB = "/job/runs-hot"


@pytest.fixture
def computer(computer):
    return answered(computer)


@pytest.fixture
def phone(phone):
    return answered(phone)


def answered(client):
    """The same client, answered where a test would be stopped by the fault itself."""
    client._transport.raise_server_exceptions = False
    return client


def fails(*_, **__):
    raise ZeroDivisionError("a fault put in by the test")


def log_of(home):
    return (home.garage.folder / LOG).read_text(encoding="utf-8")


@pytest.fixture
def broken_kit(monkeypatch):
    monkeypatch.setitem(JOB_PAGES, "kit", fails)


@pytest.mark.usefixtures("broken_kit")
def test_a_page_that_fails_says_so_in_our_words_and_leads_on(home, computer):
    answer = computer.get(f"{JOB}/kit")
    assert answer.status_code == 500
    assert "<h1>A fault of the program</h1>" in answer.text
    assert "This page cannot be shown. Nothing that was kept is lost. Load the page again" in answer.text
    assert f"what happened is in {home.garage.folder / LOG}." in answer.text
    for name in JOB_PAGES:
        assert (f'href="{JOB}/{name}"' in answer.text) is (name != "kit")
        assert name == "kit" or computer.get(f"{JOB}/{name}").status_code == 200
    assert "GET /job/runs-hot/kit" in log_of(home)
    assert "ZeroDivisionError: a fault put in by the test" in log_of(home)
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")


@pytest.mark.usefixtures("broken_kit")
def test_a_phone_is_not_told_where_the_computer_keeps_its_files(home, phone):
    answer = phone.get(f"{JOB}/kit")
    assert answer.status_code == 500
    assert "This page cannot be shown." in answer.text
    assert str(home.garage.folder) not in answer.text


def test_a_script_is_told_the_same_as_json(computer, monkeypatch):
    monkeypatch.setattr(app, "document", fails)
    answer = computer.get(f"{JOB}/run.json")
    assert answer.status_code == 500
    assert answer.json()["message"].startswith("This page cannot be shown.")


def test_what_was_sent_may_be_sent_again_and_is_kept_once(home, computer, token, monkeypatch):
    fields = {"id": "ab" * 16, "stream": "toolbox", "kind": "noted", "back": "/", "text": "Torch is empty."}
    fields["csrf"] = token(computer)
    kept = home.garage.store.append

    def append(*events, **more):
        kept(*events, **more)
        fails()

    with monkeypatch.context() as patch:
        patch.setattr(home.garage.store, "append", append)
        answer = computer.post("/events", data=fields)
    assert answer.status_code == 500
    assert "It is still in the form behind you: go back and send it again, it is kept once at most." in answer.text
    assert computer.post("/events", data=fields).status_code == 303
    assert [event.data["text"] for event in home.garage.toolbox().notes].count("Torch is empty.") == 1


def test_a_part_that_fails_is_named_and_the_rest_stands(home, computer, phone, monkeypatch):
    whole = computer.get(f"{JOB}/fluids").text
    monkeypatch.setattr(fluids, "SECTIONS", (fails, *fluids.SECTIONS[1:]))
    answer = computer.get(f"{JOB}/fluids")
    assert answer.status_code == 200
    words = "A fault of the program: this page cannot show a part of Coolant. What it shows stands."
    assert words not in whole
    assert f"{words} For whoever mends it, what happened is in {home.garage.folder / LOG}." in answer.text
    assert answer.text.count("<h3") < whole.count("<h3")
    assert words in phone.get(f"{JOB}/fluids").text
    assert str(home.garage.folder) not in phone.get(f"{JOB}/fluids").text
    assert "a part of Coolant\nTraceback" in log_of(home)


def test_a_job_that_cannot_be_read_leaves_the_bench_with_the_others(home, computer):
    data = {"vehicle": "tavrick", "title": "Broken", "sheet": "steps: nothing"}
    home.garage.store.append([stored("job/broken", "job_opened", data)])
    answer = computer.get("/")
    assert answer.status_code == 200
    assert "this page cannot show" in answer.text
    assert f'href="{JOB}/now"' in answer.text
    assert computer.get("/job/broken/now").status_code == 500


def stored(stream, kind, data, *, happened="2026-11-20T10:00:00+00:00"):
    """An event as an older or another program may have kept it."""
    of = {"id": "0123456789abcdef", "device": "phone", "device_seq": 0, "recorded": "2026-11-20T10:00:00+00:00"}
    return Event.new(**of, stream=stream, kind=kind, happened=happened, data=data)


@pytest.mark.parametrize(
    ("stream", "kind", "data", "happened"),
    [
        ("job/runs-hot", "answered", {"ask": "coolant_total", "typed": "1e300 L ± 1", "answer": "1e300 L ± 1"}, ""),
        ("vehicle/tavrick", "described", {"text": "Own", "odometer_km": 148000.0}, "garbage"),
        ("vehicle/tavrick", "described", {"text": "Own", "odometer_km": 148000.0}, "9999-12-31T23:59:59-10:00"),
        ("job/runs-hot", "temperature_read", {"circuit": "coolant", "celsius": 1e300, "ago_min": 0.0, "step_k": 1.0,
         "read_with": "display", "typed": "1e300 °C"}, "yesterday"),
    ],
    ids=["a volume that cannot be", "no date", "a date beyond the calendar", "a temperature that cannot be"],
)  # fmt: skip
def test_what_is_stored_already_stops_no_page(home, computer, stream, kind, data, happened):
    home.garage.store.append([stored(stream, kind, data, happened=happened or "2026-11-20T10:00:00+00:00")])
    for path in ("/", *(f"{JOB}/{name}" for name in JOB_PAGES), f"{JOB}/run.json", f"{JOB}/why.json"):
        assert computer.get(path).status_code == 200, path


def test_why_says_that_the_worker_could_not_go_on(home, computer, monkeypatch):
    looked_at = threading.Event()

    def pieces(_):
        assert looked_at.wait(LONGEST_S)
        fails()
        yield

    worker = home.app.app.state.worker
    monkeypatch.setattr("knowngood.web.server.worker.pieces", pieces)
    monkeypatch.setattr("threading.excepthook", lambda _: None)
    assert "A fault of the program" not in computer.get(f"{JOB}/why").text
    looked_at.set()
    while worker.is_looking("runs-hot"):
        threading.Event().wait(0.01)
    assert "this page cannot show how firmly the next action stands." in computer.get(f"{JOB}/why").text
    assert computer.get(f"{JOB}/why.json").status_code == 200


def test_the_bell_cannot_undo_that_an_entry_was_kept(home, token, monkeypatch):
    served = app.application(home.garage, bell=type("Bell", (), {"set": lambda *_: None})())
    client = TestClient(served, base_url="http://127.0.0.1", client=("127.0.0.1", 5000), follow_redirects=False)
    done = home.garage.job("runs-hot").state.done[-1].id
    fields = {"id": "cd" * 16, "stream": "job/runs-hot", "kind": "withdrawn", "back": "/", "event": done}
    monkeypatch.setattr(app, "rings", fails)
    answer = client.post("/events", data={**fields, "csrf": token(client)})
    served.app.state.worker.stop()
    assert answer.status_code == 303
    assert "when the computer rings" in log_of(home)


def test_outside_a_page_a_fault_is_not_held_up():
    with pytest.raises(ZeroDivisionError):
        part("anything", fails, None)


def test_rows_that_fail_are_left_out_and_named_once(home):
    with page_of(home.garage):
        rows = each([("the first", lambda: 1), ("the second", fails), ("the second", fails), ("none", lambda: None)])
        failed = failing.failed_parts()
    assert rows == [1]
    assert failed.words == "A fault of the program: this page cannot show the second. What it shows stands."
    assert failing.failed_parts() is None


def test_of_a_log_that_grows_the_older_part_goes(home, monkeypatch):
    monkeypatch.setattr(failing, "MOST_BYTES", 2000)
    for number in range(40):
        keep_trace(home.garage, ValueError("x" * 100), f"number {number}")
    assert len(log_of(home)) < 2500
    assert "number 39" in log_of(home)
    assert "number 1\n" not in log_of(home)


def test_where_the_log_cannot_be_written_the_page_says_that(home, computer, broken_kit):
    (home.garage.folder / LOG).mkdir()
    answer = computer.get(f"{JOB}/kit")
    assert "What happened could not be written to a file." in answer.text
