"""Paper: every typed word comes out as it was typed, in our own type."""

import io
import shutil

import pypdf
import pytest

from knowngood.report.paper import pdf
from knowngood.report.paper.documents import Ask, Blank, BookData, BookReading, CardData, CardStep, Section, Verdict
from knowngood.report.pictures.picture import Picture, band_and_hump

# What a typesetter, a browser or a shell would take for something else.
NASTY = (
    "#let x = 1",
    "*bold* _thin_",
    "$x^2$",
    "a \\ b \\n",
    "<script>alert(1)</script>",
    "\"double\" 'single' `back`",
    "= heading",
    "- dash / + plus",
    "@label <label>",
    "// not a comment /* nor this */",
    "#panic(1)",
    "~ -- --- ...",
    "{{ braces }} ]]> &amp; %s {0}",
    "80–95 Ω at 20 °C, ≤ 3 N·m ± 1",
    "Ключ Žlutý müßig",
)
PICTURE = band_and_hump(Picture(15.9, 0.25, "coil", "b", lower=13.0, upper=16.0, raw=16.3, unit="ohm"), width=360)


def read(made: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(made))


def words(made: bytes) -> str:
    """All text of a PDF, its spaces and line ends made one space."""
    text = " ".join(page.extract_text() for page in read(made).pages)
    return " ".join(text.replace("\u200b", "").split())


def said(text: str) -> str:
    return " ".join(text.split())


def fonts(made: bytes) -> dict[str, bool]:
    """Each font's name, and whether the file carries it."""
    found = {}
    for page in read(made).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inside = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            found[str(inside["/FontName"])] = any(key in inside for key in ("/FontFile2", "/FontFile3"))
    return found


def step(number: int, **changes) -> CardStep:
    return CardStep(number=str(number), do=f"Do thing {number}", zone="Top", tools=("13 mm socket",), **changes)


def a_card(**changes) -> CardData:
    return CardData(
        **{"title": "Runs hot", "vehicle": "Ondrelle Tavrick", "printed": "12 September", "steps": (), **changes}
    )


def a_book(**changes) -> BookData:
    return BookData(
        **{"title": "Runs hot", "vehicle": "Ondrelle Tavrick", "opened": "10 May", "printed": "13 May", **changes}
    )


def a_reading(**changes) -> BookReading:
    told = {"name": "Coil", "verdict": Verdict.CANT_TELL, "value": "15.9 ± 0.5 ohm", "allowed": "13–16 ohm"}
    return BookReading(**{**told, "sentence": "Leans within (66 %).", **changes})


@pytest.mark.parametrize("nasty", NASTY)
def test_a_card_keeps_words_as_they_were_typed(nasty):
    made = pdf.card(
        a_card(
            title=f"T {nasty}",
            vehicle=f"V {nasty}",
            asks=(Ask(f"A {nasty}", f"W {nasty}"),),
            bring=(f"B {nasty}",),
            steps=(
                CardStep(
                    "1",
                    f"D {nasty}",
                    f"Z {nasty}",
                    (f"U {nasty}",),
                    (f"C {nasty}",),
                    (Blank(f"R {nasty}", f"L {nasty}", "ohm"),),
                    only_if=f"I {nasty}",
                ),
            ),
        )
    )
    text = words(made)
    for first in "TVAWBDZUCRLI":
        assert said(f"{first} {nasty}") in text, first


@pytest.mark.parametrize("nasty", NASTY)
def test_a_book_keeps_words_as_they_were_typed(nasty):
    made = pdf.book(
        a_book(
            complaint=f"C {nasty}",
            quote=f"Q {nasty}",
            as_found=(f"F {nasty}",),
            as_left=(f"L {nasty}",),
            readings=(a_reading(name=f"N {nasty}", sentence=f"S {nasty}", typed=((f"T {nasty}", f"W {nasty}"),)),),
            sections=(
                Section("Notes", ((f"O {nasty}",),)),
                Section("Torques", ((f"B {nasty}", "9 N·m"),), ("Bolt", "Torque")),
            ),
        )
    )
    text = words(made).replace(" ", "")
    for first in "CQFLNSTWOB":
        assert f"{first}{nasty}".replace(" ", "") in text, first


def test_pictographs_are_named_so_that_nothing_is_lost():
    assert "a [wrench] b" in words(pdf.book(a_book(complaint="a \N{WRENCH} b")))


def test_endless_words_stay_on_the_page():
    made = pdf.book(a_book(complaint="x" * 400, sections=(Section("Notes", (("y" * 400,),)),)))
    right = []

    def look(text, _current, matrix, _font, _size):
        if text.strip():
            right.append(matrix[4])

    page = read(made).pages[0]
    text = page.extract_text(visitor_text=look)
    assert text.replace("\u200b", "").count("x") >= 400
    assert len([line for line in text.splitlines() if set(line.strip("“”\u200b ")) == {"x"}]) >= 4
    assert max(right) < float(page.mediabox.width)


def test_a4_with_page_numbers():
    made = pdf.card(a_card(steps=tuple(step(number) for number in range(1, 61))))
    pages = read(made).pages
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((595.28, 841.89), abs=0.1)
        assert f"{number} of {len(pages)}" in page.extract_text()


def test_every_step_is_there_in_order():
    text = words(pdf.card(a_card(steps=tuple(step(number) for number in range(1, 61)))))
    places = [text.index(f"Do thing {number} Top") for number in range(1, 61)]
    assert places == sorted(places)


def test_open_asks_stand_on_the_front_page():
    made = pdf.card(
        a_card(asks=(Ask("Torque of the housing bolts", "step 21"),), steps=tuple(step(k) for k in range(1, 61)))
    )
    assert "Torque of the housing bolts" in read(made).pages[0].extract_text()


def test_a_caution_stands_at_its_step():
    text = words(pdf.card(a_card(steps=(step(1, cautions=("Hot: wait.",)), step(2)))))
    assert text.index("Do thing 1") < text.index("Hot: wait.") < text.index("Do thing 2")


def test_boxes_carry_their_unit_once_for_each_reading():
    text = words(pdf.card(a_card(steps=(step(1, readings=(Blank("Coil", "80–95", "kelvins", 3),)),))))
    assert text.count("kelvins") == 3


def test_done_steps_have_their_tick():
    def strokes(done):
        made = pdf.card(a_card(steps=(step(1, done=done),)))
        return read(made).pages[0].get_contents().get_data().count(b" l\n")

    assert strokes(True) > strokes(False)


def test_the_digest_is_at_the_foot_of_every_page():
    digest = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"
    made = pdf.book(
        a_book(digest=digest, events=37, program="knowngood 0.1.0", sections=(Section("Notes", (("n",),) * 120),))
    )
    assert len(read(made).pages) > 1
    for page in read(made).pages:
        assert f"knowngood 0.1.0 · digest over 37 events: {digest}" in page.extract_text()


def test_a_reading_is_told_with_verdict_limits_and_what_was_typed():
    one = a_reading(
        typed=(("Readings", "16.2 16.4 ohm"),), instrument="blue meter", assumed=("leads", "a budget meter"),
        when="11:42", picture=PICTURE,
    )  # fmt: skip
    text = words(pdf.book(a_book(readings=(one,))))
    for part in (
        "Coil", "11:42", "Can't tell", "15.9 ± 0.5 ohm", "allowed 13–16 ohm", "Leans within (66 %).",
        "Readings 16.2 16.4 ohm", "Read with blue meter", "Assumed leads; a budget meter", "as read 16.3",
    ):  # fmt: skip
        assert part in text, part


@pytest.mark.parametrize("mark", Verdict)
def test_every_verdict_has_its_word(mark):
    assert mark.value.capitalize() in words(pdf.book(a_book(readings=(a_reading(verdict=mark),))))


def test_a_table_shows_heads_rows_and_total():
    cost = Section("Cost", (("Thermostat", "46"), ("Coolant", "31")), ("For", "Amount"), (1,), ("Together", "77"))
    assert "Cost For Amount Thermostat 46 Coolant 31 Together 77" in words(pdf.book(a_book(sections=(cost,))))


def test_an_empty_part_says_so_or_is_left_out():
    made = pdf.book(a_book(sections=(Section("Bolts", (), empty="Nothing was tightened."), Section("Notes", ()))))
    text = words(made)
    assert "Bolts Nothing was tightened." in text
    assert "Notes" not in text


def test_an_open_job_says_that_it_is_not_finished():
    assert "10 May, not finished" in words(pdf.book(a_book()))
    assert "10 May to 12 May" in words(pdf.book(a_book(closed="12 May")))


def test_our_type_is_inside_and_no_other_face_for_plain_words():
    made = pdf.book(a_book(complaint="Plain words, 80–95 °C ± 1 · é", readings=(a_reading(picture=PICTURE),)))
    found = fonts(made)
    assert {name.split("+")[1] for name in found} == {
        "AtkinsonHyperlegibleNext-Regular",
        "AtkinsonHyperlegibleNext-Bold",
    }
    assert all(found.values())


def test_what_our_type_lacks_comes_from_the_one_inside_the_typesetter():
    found = fonts(pdf.book(a_book(complaint="13 Ω ≤ 16 Ω")))
    assert any("DejaVuSansMono" in name for name in found)
    assert all(found.values())


def test_the_same_words_give_the_same_file(tmp_path, monkeypatch):
    data = a_book(readings=(a_reading(picture=PICTURE),))
    first = pdf.book(data)
    shutil.copytree(pdf.HERE, tmp_path / "elsewhere")
    monkeypatch.setattr(pdf, "HERE", tmp_path / "elsewhere")
    assert pdf.book(data) == first


def test_the_licence_of_the_type_is_shipped_beside_it():
    licence = (pdf.FONTS / "LICENSE.txt").read_text("utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert len(list(pdf.FONTS.glob("*.ttf"))) == 2
