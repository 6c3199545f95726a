"""Photos over the network: sent by the form, shown on every page that has them, served by name to who is let in."""

import io
import re

import pytest
from PIL import Image

NO_PHOTO = "There is no such photo. The job's book shows all that there are."
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
NOT_A_PHOTO = "The file is not a photo that is kept here. Send JPEG, PNG or WebP."
DAMAGED = "The photo is damaged or cut off: it cannot be drawn to its end. Take it again, or choose another."
TOO_LARGE = (
    "This is more than 26 MB, and up to that much is taken at once, so nothing of it was kept. Send a smaller photo."
)
CUT_OFF = (
    "What was sent is cut off or not made by a form of ours, so nothing of it was kept. Reload the page and send it "
    "again."
)
JSON = {"accept": "application/json"}
JOB = {"stream": "job/runs-hot", "back": "/job/runs-hot/now", "step": "drain"}
FORM = {"content-type": "multipart/form-data; boundary=edge"}


def picture(format: str = "JPEG", size: tuple[int, int] = (600, 400)) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", size, "red").save(file, format)
    return file.getvalue()


@pytest.fixture
def send(token):
    """Send the note form with a photo: send(client, content, number=1, headers=None, **fields)."""

    def sending(client, content: bytes | None, *, number: int = 1, headers=None, **fields):
        own = {"id": f"{number:032x}", "stream": "toolbox", "kind": "noted", "back": "/", "text": "belt", "when": ""}
        files = {
            "photo": ("", b"") if content is None else ("C:\\own\\IMG 1.jpg", content),
            "photo_chosen": ("", b""),
        }
        data = {**own, **fields, "csrf": token(client)}
        return client.post("/events", data=data, files=files, headers=headers or {})

    return sending


def names(page: str) -> list[str]:
    return re.findall(r'<a href="/photos/([0-9a-f]{64}\.\w+)"><img src="/thumbs/\1"', page)


def kept(home) -> list[str]:
    folder = home.garage.store.photos.folder
    return sorted(one.name for one in folder.iterdir()) if folder.is_dir() else []


def test_a_photo_at_a_step_is_kept_and_shown_on_now_and_in_the_book(home, phone, send):
    now = re.search(r'name="step" value="(\w+)"', phone.get("/job/runs-hot/now").text)[1]
    answer = send(phone, picture(), **{**JOB, "step": now}, when="before")
    assert (answer.status_code, answer.headers["location"]) == (303, "/job/runs-hot/now")
    (name,) = kept(home)
    assert names(phone.get("/job/runs-hot/now").text) == [name]
    assert names(phone.get("/job/runs-hot/book").text) == [name]
    does = home.garage.job("runs-hot").sheet.step(now).do
    assert f'alt="Before: {does}"' in phone.get("/job/runs-hot/book").text
    assert phone.get("/job/runs-hot/book.pdf").content.count(b"/DCTDecode") == 1


def test_an_after_stands_in_the_row_of_its_before(phone, send):
    for number, (when, format) in enumerate((("before", "JPEG"), ("", "PNG"), ("after", "WEBP")), 1):
        assert send(phone, picture(format), number=number, **JOB, when=when).status_code == 303
    book = phone.get("/job/runs-hot/book").text
    rows = [[name.rpartition(".")[2] for name in names(row)] for row in book.split('<div class="row">')[1:]]
    assert rows == [["jpg", "webp"], ["png"]]


def test_a_photo_of_the_toolbox_is_shown_on_bench(home, computer, send):
    assert send(computer, picture("PNG"), text="Worn <b>jaws</b>").status_code == 303
    page = computer.get("/").text
    assert names(page) == kept(home)
    assert 'alt="Photo: Worn &lt;b&gt;jaws&lt;/b&gt;"' in page


def test_a_form_without_a_photo_is_a_note(home, computer, send):
    assert send(computer, None).status_code == 303
    assert kept(home) == []
    assert [event.data for event in home.garage.toolbox().notes][-1] == {"text": "belt", "step": None}


def test_the_same_sent_twice_is_kept_once(home, computer, send):
    assert [send(computer, picture()).status_code for _ in range(2)] == [303, 303]
    assert len(home.garage.toolbox().photos) == 1


@pytest.mark.parametrize(
    ("content", "why"),
    [(SVG, NOT_A_PHOTO), (b"MZ\x90\x00" + bytes(60), NOT_A_PHOTO), (b"", NOT_A_PHOTO), (picture()[:-200], DAMAGED)],
    ids=["svg", "program", "empty", "truncated"],
)
def test_what_is_no_whole_photo_is_refused_and_the_words_stay(home, computer, send, content, why):
    answer = send(computer, content, headers=JSON, text="Crust at the plug", **JOB)
    assert (answer.status_code, answer.json()) == (422, {"problems": {"photo": why}, "message": ""})
    now = re.search(r'name="step" value="(\w+)"', computer.get("/job/runs-hot/now").text)[1]
    fields = {**JOB, "step": now, "form": f"noted job/runs-hot {now}"}
    answer = send(computer, content, number=2, text="Crust at the plug", **fields)
    assert answer.status_code == 422
    assert why in answer.text
    assert ">Crust at the plug</textarea>" in answer.text
    assert '<details class="card" open><summary>Note or photo' in answer.text
    assert kept(home) == []
    assert not home.garage.job("runs-hot").state.photos


def test_too_much_is_refused_in_words(home, computer):
    body = b"x" * 26_000_001
    for content in (body, iter([body])):
        answer = computer.post("/events", content=content, headers={**FORM, **JSON})
        assert (answer.status_code, answer.json()) == (413, {"problems": {}, "message": TOO_LARGE})
    assert TOO_LARGE in computer.post("/events", content=body, headers=FORM).text
    assert kept(home) == []


def test_what_is_cut_off_is_refused_in_words(home, computer):
    body = b'--edge\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n' + picture()
    answer = computer.post("/events", content=body, headers={**FORM, **JSON})
    assert (answer.status_code, answer.json()) == (400, {"problems": {}, "message": CUT_OFF})
    assert kept(home) == []


@pytest.mark.parametrize(("format", "media"), [("JPEG", "jpeg"), ("PNG", "png"), ("WEBP", "webp")])
def test_a_photo_is_served_as_what_it_is_and_kept_by_nobody_else(home, phone, send, format, media):
    send(phone, picture(format))
    (name,) = kept(home)
    for folder, type_, size in (("photos", media, (600, 400)), ("thumbs", "jpeg", (480, 320))):
        answer = phone.get(f"/{folder}/{name}")
        assert answer.status_code == 200
        assert answer.headers["content-type"] == f"image/{type_}"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "private, max-age=31536000, immutable"
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert Image.open(io.BytesIO(answer.content)).size == size


@pytest.mark.parametrize("folder", ["photos", "thumbs"])
@pytest.mark.parametrize(
    "name",
    [
        "..%2fgarage.db",
        "..%2f..%2f..%2fetc%2fpasswd",
        "%2e%2e%2fgarage.db",
        "%2fetc%2fpasswd",
        "..%5cgarage.db",
        "NAME%00",
        "NAME%00.jpg",
        "NAME%0a",
        "UPPER",
        "./NAME/../../garage.db",
        f"{'0' * 64}.jpg",
        f"{'0' * 64}.svg",
        "",
    ],
)
def test_no_name_but_a_photos_own_leads_anywhere(home, computer, send, folder, name):
    send(computer, picture())
    (own,) = kept(home)
    asked = name.replace("NAME", own).replace("UPPER", own.upper())
    answer = computer.get(f"/{folder}/{asked}", headers=JSON)
    assert answer.status_code == 404
    assert answer.headers["cache-control"] == "no-store"
    assert str(home.garage.folder) not in answer.text


def test_a_missing_photo_is_said_on_a_page(computer):
    answer = computer.get("/photos/none.jpg")
    assert answer.status_code == 404
    assert NO_PHOTO.replace("'", "&#39;") in answer.text


def test_a_stranger_gets_no_photo_and_hears_of_none(home, computer, stranger, send):
    send(computer, picture())
    (name,) = kept(home)
    for folder in ("photos", "thumbs"):
        there, missing = stranger.get(f"/{folder}/{name}"), stranger.get(f"/{folder}/{'0' * 64}.jpg")
        assert (there.status_code, missing.status_code) == (401, 401)
        assert there.text == missing.text
        assert there.headers["cache-control"] == "no-store"
    assert stranger.post("/events", files={"photo": ("a.jpg", picture())}).status_code == 401
    assert kept(home) == [name]
