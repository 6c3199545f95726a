"""What a form sends: its words and its files, read with a limit before they fill the memory."""

from email.message import Message
from typing import Any

from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartException
from starlette.requests import ClientDisconnect, Request

LIMIT_BYTES = 26_000_000  # ours: the largest photo that is kept, and the words beside it
LIMIT_WORDS = 1_000_000  # ours: a pasted sheet with room to spare
FILES, FIELDS = 2, 60
TOO_LARGE = (
    f"This is more than {LIMIT_BYTES / 1e6:g} MB, and up to that much is taken at once, so nothing of it was kept. "
    "Send a smaller photo."
)
LONG_WINDED = (
    f"A field holds more than {LIMIT_WORDS / 1e6:g} million letters, and up to that many are kept, so nothing of this "
    "was kept. Shorten it and send it again."
)
CUT_OFF = (
    "What was sent is cut off or not made by a form of ours, so nothing of it was kept. Reload the page and send it "
    "again."
)


class NotTaken(Exception):
    """A form that is not read; the text says why and what to do, `status` says it to programs."""

    def __init__(self, words: str, status: int) -> None:
        super().__init__(words)
        self.status = status


async def read(request: Request) -> tuple[dict[str, str], dict[str, bytes]]:
    """Return a form's words and its files by field; a file field in which nothing was chosen is left out.

    Raises:
        NotTaken: It is too large, cut off, or no form.
    """
    announced = request.headers.get("content-length", "")
    if announced.isdigit() and int(announced) > LIMIT_BYTES:
        raise NotTaken(TOO_LARGE, 413)
    watched = Request(request.scope, _watched(request.receive, _last_line(request)))
    try:
        # The words' own limit is looked at below: the parser's would not say which of its limits was passed.
        async with watched.form(max_files=FILES, max_fields=FIELDS, max_part_size=LIMIT_BYTES) as form:
            typed = {name: value for name, value in form.items() if isinstance(value, str)}
            sent = [(name, value) for name, value in form.multi_items() if isinstance(value, UploadFile)]
            files = {name: await file.read() for name, file in sent if file.size or file.filename}
    except (HTTPException, MultiPartException, ClientDisconnect) as broken:
        raise NotTaken(CUT_OFF, 400) from broken
    if any(len(words) > LIMIT_WORDS for words in typed.values()):
        raise NotTaken(LONG_WINDED, 413)
    return typed, files


def _last_line(request: Request) -> bytes:
    """What a form with files ends with; empty for a form that says of itself in no way where it ends."""
    kind = Message()
    kind["content-type"] = request.headers.get("content-type", "")
    boundary = kind.get_boundary()
    return f"--{boundary}--".encode() if boundary else b""


def _watched(receive: Any, last_line: bytes) -> Any:
    """The same body, but stopped when it is larger than it may be, whatever it announced, or ends too early.

    The parser takes what was cut off as a form with fewer parts: a note would be kept and its photo lost.
    """
    taken, end, longest = 0, b"", len(last_line) + len("\r\n")

    async def watched() -> Any:
        nonlocal taken, end
        message = await receive()
        body = message.get("body", b"")
        taken, end = taken + len(body), (end + body[-longest:])[-longest:]
        if taken > LIMIT_BYTES:
            raise NotTaken(TOO_LARGE, 413)
        over = message["type"] == "http.request" and not message.get("more_body", False)
        if over and not end.rstrip(b"\r\n").endswith(last_line):
            raise NotTaken(CUT_OFF, 400)
        return message

    return watched
