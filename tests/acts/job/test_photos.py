"""Photos to a step or to a note: kept drawn anew, shown in order, taken back like every other entry."""

import io

import pytest
from PIL import Image
from tests.refusing import refused

from knowngood.acts.book import may_be_taken_back, sections
from knowngood.acts.job.photos import Photo, in_rows, photos_of
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import TAKEN, take
from knowngood.store.event import Event

JOB = "job/runs-hot"


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def a_photo(colour: str = "red") -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (30, 20), colour).save(file, "JPEG")
    return file.getvalue()


def note(garage, number: int, *colours: str, stream: str = JOB, **fields: str) -> list[Event]:
    files = {f"photo {place}" if place else "photo": a_photo(colour) for place, colour in enumerate(colours)}
    return take(garage, Entry(f"{number:032x}", stream, "noted", fields, files=files))


def test_a_photo_is_kept_with_its_note(garage):
    (event,) = note(garage, 1, "red", text="Rust at the plug", step="drain", when="before")
    assert event.data == {
        "text": "Rust at the plug",
        "step": "drain",
        "photo": event.data["photo"],
        "when": "before",
    }
    kept = garage.store.photos.read(event.data["photo"])
    assert Image.open(io.BytesIO(kept)).size == (30, 20)


def test_a_photo_needs_no_words_and_a_note_no_photo(garage):
    (photo,) = note(garage, 1, "red")
    (words,) = note(garage, 2, text="belt squeals", when="")
    assert photo.data["text"] == ""
    assert photo.data["when"] is None
    assert words.data == {"text": "belt squeals", "step": None}
    assert refused(note, garage, 3) == {"text": "Nothing is written here. Write what you noticed, or add a photo."}


def test_two_photos_of_one_note_are_two_events_and_are_taken_back_together(garage):
    first, second = note(garage, 1, "red", "blue", text="both sides")
    assert first.data["photo"] != second.data["photo"]
    assert [photo.words for photo in photos_of(garage.job("runs-hot"))] == ["both sides", "both sides"]
    take(garage, Entry("2" * 32, JOB, "withdrawn", {"event": first.id}))
    assert photos_of(garage.job("runs-hot")) == []


def test_the_same_photo_chosen_twice_is_one(garage):
    assert len(note(garage, 1, "red", "red")) == 1


def test_the_same_entry_again_touches_no_file(garage):
    (first,) = note(garage, 1, "red")
    file = garage.store.photos.folder / first.data["photo"]
    file.unlink()
    (again,) = note(garage, 1, "red")
    assert again == first
    assert refused(note, garage, 1, "blue") == {"": TAKEN}
    assert list(garage.store.photos.folder.iterdir()) == []


def test_a_refused_photo_is_a_problem_at_its_field_and_nothing_is_kept(garage):
    before = garage.store.newest_seq(JOB)
    entry = Entry("1" * 32, JOB, "noted", {"text": "x"}, files={"photo": b"<svg/>"})
    assert refused(take, garage, entry) == {
        "photo": "The file is not a photo that is kept here. Send JPEG, PNG or WebP."
    }
    assert garage.store.newest_seq(JOB) == before


def test_a_strange_time_is_refused(garage):
    assert refused(note, garage, 1, "red", when="during") == {
        "when": '"during" is no time for a photo. Take before, after or neither.'
    }


def test_photos_stand_in_order_whatever_kind_they_came_as(garage):
    note(garage, 1, "red", text="first")
    name = garage.job("runs-hot").state.photos[0].data["photo"]
    older = Event.new(
        id="a" * 32, stream=JOB, kind="photo_kept", device="x", device_seq=0, happened="2026-11-21T12:00:00+00:00",
        recorded="2026-11-21T12:00:00+00:00", data={"photo": name, "step": None, "when": "", "text": "second"},
    )  # fmt: skip
    garage.store.append([older])
    note(garage, 2, "blue", text="third")
    assert [photo.words for photo in photos_of(garage.job("runs-hot"))] == ["first", "second", "third"]


def test_photos_are_said_in_the_book_and_not_among_the_notes_again(garage):
    note(garage, 1, "red", text="Rust at the plug", step="drain", when="before")
    note(garage, 2, "blue", text="Whole car")
    note(garage, 3, "green")
    words = dict(sections(garage.job("runs-hot")))
    drain = garage.job("runs-hot").sheet.step("drain").do
    assert words["Photos"] == [
        f"Before: {drain}. Rust at the plug",
        "Photo: Whole car",
        "Photo: nothing was written to it",
    ]
    assert "Rust at the plug" not in words["Notes"]


def test_photos_can_be_taken_back_by_what_they_show(garage):
    note(garage, 1, "red", step="drain", when="before")
    note(garage, 2, "blue", text="Whole car")
    note(garage, 4, "green")
    rows = dict(may_be_taken_back(garage.job("runs-hot")))
    drain = garage.job("runs-hot").sheet.step("drain").do
    assert rows[f"{1:032x}"] == f"Photo before: {drain}"
    assert rows[f"{2:032x}"] == "Photo: Whole car"
    assert rows[f"{4:032x}"] == "Photo: nothing was written to it"
    name = garage.job("runs-hot").state.photos[0].data["photo"]
    take(garage, Entry("3" * 32, JOB, "withdrawn", {"event": f"{1:032x}"}))
    assert [photo.words for photo in photos_of(garage.job("runs-hot"))] == ["Whole car", ""]
    assert garage.store.photos.read(name)


def test_photos_of_one_step(garage):
    note(garage, 1, "red", step="drain")
    note(garage, 2, "blue", step="lift")
    assert [photo.step for photo in photos_of(garage.job("runs-hot"), "lift")] == ["lift"]


def test_a_step_that_the_sheet_has_dropped_is_named_by_its_id(garage):
    note(garage, 1, "red", step="old_step")
    assert photos_of(garage.job("runs-hot"))[0].alt == "Photo: old step"


@pytest.mark.parametrize("stream", ["toolbox", "vehicle/tavrick"])
def test_toolbox_and_vehicle_keep_photos_too(garage, stream):
    note(garage, 1, "red", stream=stream, text="trailer socket")
    state = garage.toolbox() if stream == "toolbox" else garage.vehicle("tavrick")
    assert [event.data["text"] for event in state.photos] == ["trailer socket"]
    assert "trailer socket" not in [event.data["text"] for event in state.notes]
    assert state.unknown == []


def told(*photos: str) -> list[Photo]:
    """Photos from "id step when"."""
    split = (f"{one} . .".split() for one in photos)
    return [Photo(id, f"{id}.jpg", step.strip("."), when.strip("."), "", "", "") for id, step, when, *_ in split]


@pytest.mark.parametrize(
    ("photos", "rows"),
    [
        ((), []),
        (("1",), ["1"]),
        (("1", "2", "3"), ["12", "3"]),
        (("1 drain before", "2 drain after"), ["12"]),
        (("1 drain before", "2", "3", "4 drain after"), ["14", "23"]),
        (("2", "1 drain before", "4 drain after", "3"), ["2", "14", "3"]),
        (("1 drain after", "2 drain before"), ["21"]),
        (("1 drain before", "2 lift after"), ["12"]),
        (("1 a before", "2 b before", "3 a after", "4 b after"), ["13", "24"]),
        (("1 a before", "2 a before", "3 a after"), ["13", "2"]),
        (("1 . before", "2", "3 . after"), ["12", "3"]),
    ],
)
def test_after_stands_beside_its_before(photos, rows):
    assert ["".join(photo.id for photo in row) for row in in_rows(told(*photos))] == rows
