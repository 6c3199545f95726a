"""A garage of which a part is damaged: the pages name it, all else is read, and a phone is not told where it lies."""

import random
import shutil
import warnings

import pytest
from tests.garages import opened
from tests.store.corrupting import corrupted

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from knowngood.acts.book import sections
from knowngood.report.paper.fill import book_data
from knowngood.store.errors import StoreError
from knowngood.store.rows import REMEDY
from knowngood.store.store import FILE
from knowngood.web.server.app import JOB_PAGES, application

# Words of an event as they stand in the file, others of that length, and what is said of it.
CASES = {
    "a note": (b"No leak found.", b"No lead found.", 'entry of 21 November 2026 ("noted") is damaged and left out.'),
    "a step": (b'"step":"look_leaks"', b'"step":"look_lead!"', 'entry of 21 November 2026 ("step done") is damaged'),
}


@pytest.fixture
def damaged(tmp_path, demo_folder):
    """damaged(old, new): the demo's garage with other words in its file, open."""
    folders = []

    def make(old, new):
        folder = shutil.copytree(demo_folder, tmp_path / "damaged")
        content = (folder / FILE).read_bytes()
        assert old in content
        (folder / FILE).write_bytes(content.replace(old, new))
        folders.append(opened(folder))
        return folders[-1].__enter__()

    yield make
    for one in folders:
        one.__exit__(None, None, None)


def client(garage):
    at = {"base_url": "http://127.0.0.1", "client": ("127.0.0.1", 50000)}
    return TestClient(application(garage), **at, follow_redirects=False)


@pytest.mark.parametrize(("old", "new", "said"), CASES.values(), ids=CASES)
def test_a_page_that_meets_damage_says_so(damaged, old, new, said):
    garage = damaged(old, new)
    with client(garage) as asking:
        for page in sorted(JOB_PAGES):
            answer = asking.get(f"/job/runs-hot/{page}")
            assert answer.status_code == 200
            assert said.replace('"', "&#34;") in answer.text
            assert REMEDY in answer.text
        assert said.replace('"', "&#34;") in asking.get("/").text
        (other,) = [job for job in garage.jobs() if job != "runs-hot"]
        assert "damaged and left out" not in asking.get(f"/job/{other}/now").text


def test_the_book_names_it_on_paper_too(damaged):
    garage = damaged(*CASES["a note"][:2])
    job = garage.job("runs-hot")
    rows = [f"An {CASES['a note'][2]}", REMEDY]
    assert dict(sections(job))["Damaged"] == rows
    assert [one.rows for one in book_data(garage, job).sections if one.title == "Damaged"] == [((rows[0],), (rows[1],))]


def test_a_sound_garage_says_nothing_of_damage(demo_garage):
    assert "Damaged" not in dict(sections(demo_garage.job("runs-hot")))
    with client(demo_garage) as asking:
        assert "damaged" not in asking.get("/").text


def test_a_job_whose_beginning_is_damaged_leaves_the_others_readable(damaged):
    garage = damaged(b'"complaint":"', b'"complain!":"')
    assert garage.jobs() == {}
    assert [one.name for one in garage.vehicles().values()]
    with client(garage) as asking:
        assert asking.get("/").text.count("(&#34;job opened&#34;) is damaged and left out.") == 2
        answer = asking.get("/job/runs-hot/now")
        assert answer.status_code == 404
        assert "The job &#34;runs-hot&#34; cannot be shown: how it began is not readable." in answer.text


def test_a_vehicle_whose_name_is_damaged_keeps_all_else(damaged):
    garage = damaged(b'"name":"Ondrelle Tavrick"', b'"name":"Ondrelle Tavrich"')
    assert garage.vehicle("tavrick").name == "Vehicle without a name"
    assert garage.vehicle("tavrick").odometer_km
    with client(garage) as asking:
        assert "Vehicle without a name" in asking.get("/").text


def test_random_damage_ends_in_pages(tmp_path, demo_folder, rounds):
    """Whatever is damaged, the Bench and each job's Now and Book answer, in words."""
    content, rng, shown = (demo_folder / FILE).read_bytes(), random.Random(11), 0
    folder = tmp_path / "damaged"
    folder.mkdir()
    for _ in range(rounds(12)):
        for left in folder.iterdir():
            left.unlink()
        (folder / FILE).write_bytes(corrupted(content, rng))
        try:
            kept = opened(folder)
            garage = kept.__enter__()
        except StoreError:
            continue
        with client(garage) as asking:
            bench = asking.get("/")
            assert bench.status_code == 200
            assert bool(garage.store.damage()) == (REMEDY in bench.text)
            for job in garage.jobs():
                assert [asking.get(f"/job/{job}/{page}").status_code for page in ("now", "book")] == [200, 200]
            shown += 1
        kept.__exit__(None, None, None)
    assert shown > 3


def test_a_phone_is_not_told_where_the_garage_lies(home, computer, phone, token):
    assert str(home.garage.folder) in computer.get("/").text
    assert str(home.garage.folder) not in phone.get("/").text
    sealed = {asking: token(asking) for asking in (computer, phone)}
    home.garage.store._connection.execute("PRAGMA query_only = 1")
    for number, (asking, told) in enumerate([(computer, True), (phone, False)]):
        note = {"stream": "toolbox", "kind": "noted", "text": "x", "csrf": sealed[asking]}
        answer = asking.post("/events", data={"id": f"{number:032x}", "back": "/", **note})
        assert answer.status_code == 507
        assert "can be read but not written." in answer.text
        assert (str(home.garage.folder) in answer.text) is told
    home.garage.store._connection.execute("PRAGMA query_only = 0")


def test_a_photo_that_is_damaged_is_said_without_its_place_to_a_phone(home, computer, phone):
    name = f"{'0' * 64}.jpg"
    home.garage.store.photos.folder.mkdir(exist_ok=True)
    (home.garage.store.photos.folder / name).write_bytes(b"no photo")
    assert str(home.garage.folder) in computer.get(f"/photos/{name}").text
    answer = phone.get(f"/photos/{name}")
    assert "The garage is damaged: it is not the photo that was kept." in answer.text
    assert str(home.garage.folder) not in answer.text


def test_a_database_that_fails_while_a_page_is_read_is_said_as_that(demo_garage, monkeypatch):
    def refused(*_, **__):
        raise StoreError("{place} is damaged.", demo_garage.folder)

    monkeypatch.setattr(type(demo_garage.store), "events", refused)
    with client(demo_garage) as asking:
        answer = asking.get("/")
    assert answer.status_code == 507
    assert "Not to be read" in answer.text
    assert "What you typed" not in answer.text
