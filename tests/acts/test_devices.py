"""Two phones of one name are told apart, and every entry says from which device it came."""

from knowngood.acts.book import sections
from knowngood.acts.job.garage import Garage
from knowngood.acts.phone_names import phone_names
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.phones import pair
from knowngood.acts.record.take import take
from knowngood.report.paper.fill import book_data

FIRST, SECOND = "1" * 32, "2" * 32


def paired(garage):
    for number, (phone, name) in enumerate([(FIRST, "Greasy phone"), (SECOND, "greasy Phone")]):
        pair(garage, phone, name=name, key_sha256=f"{number:064x}")


def test_the_later_of_one_name_has_a_number_and_keeps_it(demo_garage: Garage):
    paired(demo_garage)
    assert phone_names(demo_garage.phones()) == {FIRST: "Greasy phone", SECOND: "greasy Phone 2"}
    take(demo_garage, Entry("3" * 32, "phones", "withdrawn", {"event": FIRST}))
    assert phone_names(demo_garage.phones())[SECOND] == "greasy Phone 2"


def test_an_entry_says_its_device_in_the_book_and_on_paper(demo_garage):
    paired(demo_garage)
    for number, who in enumerate((f"{SECOND}/abc", "this computer/def", "browser")):
        note = Entry(f"{number + 10:032x}", "job/runs-hot", "noted", {"text": f"note {number}"}, device=who)
        take(demo_garage, note)
    read = {"limit": "battery", "read": "12.5 V"}
    take(demo_garage, Entry("4" * 32, "job/runs-hot", "reading_judged", read, device=f"{FIRST}/abc"))
    job = demo_garage.job("runs-hot")
    notes = [words for words in dict(sections(job))["Notes"] if words.startswith("note ")]
    assert [words.partition("(")[2] for words in notes] == [
        "21 November 2026, 12:00, from greasy Phone 2)", "21 November 2026, 12:00, from this computer)",
        "21 November 2026, 12:00)",
    ]  # fmt: skip
    assert book_data(demo_garage, job).readings[-1].when == "21 November 2026, 12:00, from Greasy phone"
