"""Phones: the code to scan, and the phones that are paired; on the computer that keeps the garage only."""

from typing import Any
from zoneinfo import ZoneInfo

import segno
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from knowngood.acts.phone_names import phone_names
from knowngood.store.event import Event
from knowngood.store.moment import moment_words
from knowngood.web.pages.of_job import Page
from knowngood.web.parts.forms import Button, Form, Kept
from knowngood.web.server.answers import THIS_COMPUTER, show, trouble
from knowngood.web.server.guard import Phones, is_sealed
from knowngood.web.server.pairing import Lan
from knowngood.words import clock_words

ONLY_AT_COMPUTER = (
    "Phones are paired and dropped on the computer that keeps the garage, not on a phone. Open the page Phones there."
)
QUIET_MODULES = 4  # the empty rim that the standard for these codes asks for


def answer(request: Request, kept: Kept | None, status: int = 200) -> Response:
    """The page; a phone is told where to find it."""
    if request.state.who != THIS_COMPUTER:
        return trouble(request, "Not from a phone", ONLY_AT_COMPUTER, 403)
    state = request.app.state
    # Asked before the list is made: what comes in between makes the page old, never wrongly new.
    shown = {"page": "phones", "stream": "phones", "seq": state.garage.store.newest_seq("phones")}
    known = state.garage.phones()
    names = phone_names(known)
    rows = [_row(event, names[event.id], state.phones, kept, state.garage.zone) for event in known.paired]
    return show(request, "phones.html", {**shown, **_code(state.lan, state.garage.zone), "phones": rows}, status)


def _code(lan: Lan | None, zone: ZoneInfo | None) -> Page:
    if lan is None:
        return {"code": None}
    code = lan.pairing.code()
    until = clock_words(code.until, zone)
    return {"code": code.text, "until": until, "address": lan.address, "qr": qr_svg(lan.link(code))}


def qr_svg(link: str) -> Markup:
    """A code as a picture: black on white by day and by night, without a style or script of its own."""
    made = segno.make(link, error="m", micro=False)
    drawn = made.svg_inline(border=QUIET_MODULES, omitsize=True, dark="#000", light="#fff", lineclass=None)
    return Markup(drawn)


def _row(event: Event, name: str, phones: Phones, kept: Kept | None, zone: ZoneInfo | None) -> dict[str, Any]:
    seen = phones.seen.get(event.id)
    drop = Form("withdrawn", "phones", "/phones", hidden={"event": event.id}, buttons=[Button(f"Drop {name}", "quiet")])
    return {
        "name": name,
        "paired": moment_words(event.recorded, zone),
        "seen": f"last seen {moment_words(seen, zone)}" if seen else "not seen since the program was started",
        "form": drop.shown(kept),
    }


async def _page(request: Request) -> Response:
    return await run_in_threadpool(answer, request, None)


async def _new_code(request: Request) -> Response:
    if request.state.who != THIS_COMPUTER:
        return trouble(request, "Not from a phone", ONLY_AT_COMPUTER, 403)
    async with request.form(max_files=0, max_fields=5) as form:
        sealed = is_sealed(request, str(form.get("csrf", "")))
    if not sealed:
        return trouble(request, "Not taken", "This page is too old to ask for a code. Reload it and ask again.", 403)
    if request.app.state.lan:
        request.app.state.lan.pairing.renew()
    return RedirectResponse("/phones", 303)


ROUTES = (Route("/phones", _page), Route("/phones/code", _new_code, methods=["POST"]))
