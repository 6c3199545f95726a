"""From a job to its book: photos in pairs with their captions, small enough to send, and never the end of a book."""

import io

import pypdf
import pytest
import typst
from PIL import Image, ImageFilter

from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.report.paper import fill

JOB = "job/runs-hot"
MISSING = (
    "This photo cannot be shown: its file is missing or damaged. Put the file whose name begins with {begins} back "
    "into the garage's photos from your last backup, and print the book again."
)


@pytest.fixture
def garage(demo_garage):
    return demo_garage


def photo(garage, number: int, image: Image.Image | None = None, **fields: str) -> str:
    """Take a photo at the job; returns the name of its file."""
    file = io.BytesIO()
    (image or Image.new("RGB", (60, 40), (number, 0, 0))).save(file, "JPEG", quality=92)
    entry = Entry(f"{number:032x}", JOB, "noted", {"text": "", **fields}, files={"photo": file.getvalue()})
    (event,) = take(garage, entry)
    return event.data["photo"]


def busy(width: int, height: int) -> Image.Image:
    """As full of detail as a photo of a greasy engine: soft shapes, edges, and a sensor's grain."""
    coarse = Image.effect_noise((width // 40, height // 40), 120).resize((width, height), Image.Resampling.BICUBIC)
    grain = Image.effect_noise((width, height), 40).filter(ImageFilter.GaussianBlur(1.5))
    return Image.merge("RGB", [Image.blend(coarse, grain, share) for share in (0.3, 0.35, 0.4)])


def made(garage) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(fill.book(garage, garage.job("runs-hot"))))


def words(book: pypdf.PdfReader) -> str:
    """All text without any space: lines break where they like."""
    return "".join("".join(page.extract_text() for page in book.pages).replace("\u200b", "").split())


def pictures(book: pypdf.PdfReader) -> list[Image.Image]:
    return [one.image for page in book.pages for one in page.images]


def alts(book: pypdf.PdfReader) -> list[str]:
    """What a screen reader says in place of pictures."""
    objects = [book.get_object(number) for number in range(1, book.trailer["/Size"])]
    return [one["/Alt"] for one in objects if isinstance(one, dict) and "/Alt" in one]


def test_photos_are_in_the_book_an_after_beside_its_before(garage):
    photo(garage, 1, Image.new("RGB", (60, 40), "red"), step="drain", when="before", text="Crust at the plug")
    photo(garage, 2, Image.new("RGB", (60, 40), "lime"))
    photo(garage, 3, Image.new("RGB", (60, 40), "blue"), step="drain", when="after")
    rows = fill.book_data(garage, garage.job("runs-hot")).photos
    does = garage.job("runs-hot").sheet.step("drain").do
    assert [[(one.when, one.about, one.words, one.taken, one.missing) for one in row] for row in rows] == [
        [
            ("Before", does, "Crust at the plug", "21 November 2026, 12:00", ""),
            ("After", does, "", "21 November 2026, 12:00", ""),
        ],
        [("", "", "", "21 November 2026, 12:00", "")],
    ]
    book = made(garage)
    strongest = [max(range(3), key=one.convert("RGB").getpixel((9, 9)).__getitem__) for one in pictures(book)]
    assert sorted(strongest) == [0, 1, 2]
    assert f"Before·{does}Crustattheplug21November2026,12:00".replace(" ", "") in words(book)


def test_a_book_without_photos_has_no_part_for_them(garage):
    book = made(garage)
    assert "Photos" not in words(book)
    assert pictures(book) == []


def test_every_photo_is_said_to_who_cannot_see_it(garage):
    photo(garage, 1, step="drain", when="before")
    photo(garage, 2, text="Rust, left of the bolt")
    does = garage.job("runs-hot").sheet.step("drain").do
    said = alts(made(garage))
    assert f"Before: {does}" in said
    assert "Photo: Rust, left of the bolt" in said


def test_photos_are_as_large_as_paper_shows_them(garage):
    photo(garage, 1, Image.new("RGB", (4000, 3000), "red"))
    photo(garage, 2, Image.new("RGB", (100, 3000), "red"))
    assert [one.size for one in pictures(made(garage))] == [(1000, 750), (33, 1000)]


def test_thirty_photos_of_a_phone_make_a_book_that_can_be_sent(garage):
    for number in range(1, 31):
        photo(garage, number, busy(1600, 1200 + number))
    content = fill.book(garage, garage.job("runs-hot"))
    assert len(pictures(pypdf.PdfReader(io.BytesIO(content)))) == 30
    assert len(content) < 6_000_000


def test_the_typesetter_sees_its_templates_and_the_pictures_and_nothing_else(garage, monkeypatch):
    photo(garage, 1)
    seen = []

    def looking(template, *, root, **more):
        seen.append((template.parent == root, sorted(one.name for one in root.rglob("*")), root))
        return compile(template, root=root, **more)

    compile = typst.compile
    monkeypatch.setattr(typst, "compile", looking)
    made(garage)
    ((beside, files, root),) = seen
    assert (beside, files) == (True, ["1.jpg", "book.typ", "paper.typ"])
    assert not root.exists()


@pytest.mark.parametrize("harm", ["missing", "cut", "other", "folder"])
def test_a_photo_whose_file_is_gone_or_damaged_is_said_and_the_rest_is_there(garage, harm):
    name = photo(garage, 1, Image.new("RGB", (60, 40), "red"), text="Crust at the plug")
    photo(garage, 2, Image.new("RGB", (60, 40), "blue"))
    file = garage.store.photos.folder / name
    content = file.read_bytes()
    file.unlink()
    if harm == "folder":
        file.mkdir()
    elif harm != "missing":
        file.write_bytes(content[:-40] if harm == "cut" else b"\xff\xd8\xff other")
    book = made(garage)
    assert len(pictures(book)) == 1
    assert MISSING.format(begins=name[:12]).replace(" ", "") in words(book)
    assert "Crustattheplug" in words(book)
    assert str(garage.store.photos.folder) not in words(book)


def test_the_book_and_the_card_say_what_fluids_come_to(garage):
    job = garage.job("runs-hot")
    (fluids,) = [one for one in fill.book_data(garage, job).sections if one.title == "Fluids"]
    assert [row[:4] for row in fluids.rows] == [
        ("Coolant", "came out", "4.6 L at 31 °C", "4.58 ± 0.27 L"),
        ("Coolant", "still owed:", "", "+4.58 ± 0.27 L"),
    ]
    line = "Coolant: By what is still owed, have 4.7 L at hand, which is enough 4 times out of 5"
    assert [one for one in fill.card_data(garage, job).bring if one.startswith(line)]
