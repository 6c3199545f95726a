"""Forms as they are sent: too much is refused before it is taken, cut off is refused, empty file fields are nothing."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.requests import Request

from knowngood.web.server import upload

EDGE = b"--edge"
TYPE = b"multipart/form-data; boundary=edge"
CHUNK = 1_000_000
TOO_LARGE = (
    "This is more than 26 MB, and up to that much is taken at once, so nothing of it was kept. Send a smaller photo."
)
CUT_OFF = (
    "What was sent is cut off or not made by a form of ours, so nothing of it was kept. Reload the page and send it "
    "again."
)
LONG_WINDED = (
    "A field holds more than 1 million letters, and up to that many are kept, so nothing of this was kept. Shorten it "
    "and send it again."
)


def part(name: str, content: bytes, file: str | None = None) -> bytes:
    named = f'; filename="{file}"' if file is not None else ""
    kind = "Content-Type: application/octet-stream\r\n" if file is not None else ""
    return EDGE + f'\r\nContent-Disposition: form-data; name="{name}"{named}\r\n{kind}\r\n'.encode() + content + b"\r\n"


def form(*parts: bytes) -> bytes:
    return b"".join(parts) + EDGE + b"--\r\n"


class Sender:
    """A phone that sends a body piece by piece, and how many pieces were taken from it."""

    def __init__(self, pieces, **headers: bytes) -> None:
        self.pieces, self.taken = iter(pieces), 0
        named = {"content-type": TYPE, **{name.replace("_", "-"): words for name, words in headers.items()}}
        scope = {"type": "http", "method": "POST", "path": "/events", "query_string": b""}
        scope["headers"] = [(name.encode(), words) for name, words in named.items()]
        self.request = Request(scope, self.receive)

    async def receive(self):
        self.taken += 1
        piece = next(self.pieces, None)
        return {"type": "http.request", "body": piece or b"", "more_body": piece is not None}

    def read(self):
        # A thread of its own: the browser's driver keeps a loop running in this one.
        with ThreadPoolExecutor(1) as aside:
            return aside.submit(lambda: asyncio.run(upload.read(self.request))).result()


def refused(sender: Sender) -> tuple[str, int]:
    with pytest.raises(upload.NotTaken) as seen:
        sender.read()
    return str(seen.value), seen.value.status


def endless():
    """One file of a form that never ends."""
    yield part("photo", b"", "photo.jpg")[:-2]
    while True:
        yield b"x" * CHUNK


def test_words_and_files_are_told_apart():
    sent = form(part("text", "Kühler, 90 °C".encode()), part("photo", b"\x00\xff\r\n--", "any.jpg"))
    assert Sender([sent]).read() == ({"text": "Kühler, 90 °C"}, {"photo": b"\x00\xff\r\n--"})


def test_a_form_arrives_in_pieces_of_any_size():
    sent = form(part("text", b"belt"), part("photo", bytes(range(256)), "any.jpg"))
    for size in (1, 7, 64):
        pieces = [sent[start : start + size] for start in range(0, len(sent), size)]
        assert Sender(pieces).read() == ({"text": "belt"}, {"photo": bytes(range(256))})


def test_a_file_field_in_which_nothing_was_chosen_is_left_out():
    assert Sender([form(part("text", b"belt"), part("photo", b"", ""))]).read() == ({"text": "belt"}, {})


def test_a_chosen_file_that_is_empty_stays_a_file():
    assert Sender([form(part("photo", b"", "empty.jpg"))]).read() == ({}, {"photo": b""})


def test_what_announces_too_much_is_refused_before_any_of_it_is_taken():
    sender = Sender(endless(), content_length=b"26000001")
    assert refused(sender) == (TOO_LARGE, 413)
    assert sender.taken == 0


@pytest.mark.parametrize("announced", [{}, {"content_length": b"10"}, {"content_length": b"many"}])
def test_what_grows_too_large_is_refused_on_the_way(announced):
    sender = Sender(endless(), **announced)
    assert refused(sender) == (TOO_LARGE, 413)
    assert sender.taken == 1 + 26


def test_the_largest_that_is_taken_is_taken():
    frame = len(form(part("photo", b"", "a.jpg")))
    photo = b"x" * (upload.LIMIT_BYTES - frame)
    assert len(Sender([form(part("photo", photo, "a.jpg"))]).read()[1]["photo"]) == len(photo)


@pytest.mark.parametrize(
    "sent",
    [
        part("text", b"belt"),  # the end is missing
        part("photo", b"half of a pho", "a.jpg")[:-9],
        EDGE + b'\r\nContent-Disposition: form-data; name="te',
        b"no form at all",
    ],
)
def test_what_is_cut_off_is_refused(sent):
    assert refused(Sender([sent])) == (CUT_OFF, 400)


def test_a_phone_that_is_gone_in_the_middle_is_no_crash():
    sender = Sender([])
    pieces = iter([part("text", b"belt")])

    async def gone():
        piece = next(pieces, None)
        return {"type": "http.request", "body": piece, "more_body": True} if piece else {"type": "http.disconnect"}

    sender.request = Request(sender.request.scope, gone)
    assert refused(sender) == (CUT_OFF, 400)


def test_a_form_without_files_needs_no_last_line():
    sent = Sender([b"text=belt&", b"step="], content_type=b"application/x-www-form-urlencoded")
    assert sent.read() == ({"text": "belt", "step": ""}, {})


def test_more_files_or_fields_than_a_form_of_ours_has_are_refused():
    files = [part(f"photo{number}", b"x", "a.jpg") for number in range(3)]
    assert refused(Sender([form(*files)])) == (CUT_OFF, 400)
    fields = [part(f"field{number}", b"x") for number in range(61)]
    assert refused(Sender([form(*fields)])) == (CUT_OFF, 400)


def test_a_field_of_too_many_words_is_refused():
    assert refused(Sender([form(part("text", b"x" * 1_000_001))])) == (LONG_WINDED, 413)
    assert len(Sender([form(part("text", b"x" * 1_000_000))]).read()[0]["text"]) == 1_000_000
