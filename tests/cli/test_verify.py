"""The command `verify`: every entry and every photo of a garage."""

import io
import json

from PIL import Image

from knowngood import cli
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.store.moment import day_of
from knowngood.words import day_words


def test_it_says_how_much_it_looked_at(demo_garage, capsys):
    assert cli.main(["verify", "--garage", str(demo_garage.folder)]) == 0
    entries = demo_garage.store.newest_seq()
    assert capsys.readouterr().out == f"{entries} entries and 0 photos looked at, nothing damaged.\n"


def test_what_is_damaged_is_named(demo_garage, capsys):
    content = io.BytesIO()
    Image.new("RGB", (30, 20)).save(content, "PNG")
    note = Entry("a" * 32, "job/runs-hot", "noted", {"text": "rust"}, files={"photo": content.getvalue()})
    (kept,) = take(demo_garage, note)
    photo = demo_garage.store.photos.folder / kept.data["photo"]
    photo.write_bytes(b"other")
    file = demo_garage.folder / "garage.sqlite3"
    demo_garage.close()
    file.write_bytes(file.read_bytes().replace(b"No leak found.", b"No lead found."))
    assert cli.main(["verify", "--garage", str(demo_garage.folder), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["photos"] == 1
    assert told["damage"] == [
        f'An entry of {day_words(day_of(kept.recorded, None))} ("noted") is damaged and left out.',
        f"{photo} is damaged: it is not the photo that was kept. Put it back from your last backup.",
    ]


def test_it_makes_no_garage(tmp_path, capsys):
    assert cli.main(["verify", "--garage", str(tmp_path / "g")]) == 1
    assert "There is no garage in" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
