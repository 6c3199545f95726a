"""Pair this phone: the one page that whoever is not paired may use."""

import secrets
from collections.abc import Mapping
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.phones import pair
from knowngood.web.server.answers import show, trouble, wants_json
from knowngood.web.server.guard import cookie_name, key_sha256
from knowngood.web.server.pairing import Lan, Tried

LONGEST_NAME = 40
LONGEST_BYTES = 2000  # a name, a code and room to mistype; whoever is not paired may send no more
ONE_YEAR_S = 365 * 24 * 3600
NEXT_CODE = "Take the code that the page Phones on the computer shows now."
SENTENCES = {
    Tried.WRONG: f"This code is not the one that the computer shows: 16 letters and digits. {NEXT_CODE}",
    Tried.USED: f"This code has paired a phone already, and each code is for one. {NEXT_CODE}",
    Tried.TOO_LATE: f"This code is older than ten minutes, and that is how long each is good. {NEXT_CODE}",
    Tried.REPLACED: f"This code was replaced by a newer one, and only the newest is good. {NEXT_CODE}",
}


async def _page(request: Request) -> Response:
    return _shown(request, {}, "", 200) if request.app.state.lan else _alone(request)


async def _pair(request: Request) -> Response:
    if request.app.state.lan is None:
        return _alone(request)
    sent = b""
    async for part in request.stream():
        sent += part
        if len(sent) > LONGEST_BYTES:
            words = f"More was sent than a name and a code: at most {LONGEST_BYTES} bytes belong here. Type it again."
            return _shown(request, {}, words, 413)
    typed = dict(parse_qsl(sent.decode(errors="replace")))
    return await run_in_threadpool(_take, request, typed)


def _take(request: Request, typed: Mapping[str, str]) -> Response:
    name = typed.get("phone", "").strip() or "Phone"
    if len(name) > LONGEST_NAME:
        words = f"The name has {len(name)} letters; {LONGEST_NAME} fit. Make it shorter; the code is still good."
        return _shown(request, typed, words, 422)
    if not typed.get("code", "").strip():
        return _shown(request, typed, f"No code was typed. {NEXT_CODE}", 422)
    lan: Lan = request.app.state.lan
    address = request.client.host if request.client else ""
    tried = lan.pairing.take(typed.get("code", ""), address)
    if tried is Tried.WAIT:
        return _wait(request, typed, lan.pairing.wait_s(address))
    if tried is not Tried.RIGHT:
        return _shown(request, typed, SENTENCES[tried], 403)
    return _paired(request, name)


def _paired(request: Request, name: str) -> Response:
    garage: Garage = request.app.state.garage
    secret = secrets.token_hex(32)
    pair(garage, secrets.token_hex(16), name=name, key_sha256=key_sha256(secret))
    answer = JSONResponse({"next": "/"}) if wants_json(request) else RedirectResponse("/", 303)
    answer.set_cookie(cookie_name(garage), secret, max_age=ONE_YEAR_S, path="/", httponly=True, samesite="strict")
    return answer


def _wait(request: Request, typed: Mapping[str, str], seconds: int) -> Response:
    seconds = max(seconds, 1)
    how_long = f"{seconds} seconds" if seconds <= 90 else f"{-(-seconds // 60)} minutes"
    words = f"Too many wrong codes came in, so none is looked at for {how_long}. Wait that long, then send it again."
    answer = _shown(request, typed, words, 429)
    answer.headers["retry-after"] = str(seconds)
    return answer


def _shown(request: Request, typed: Mapping[str, str], error: str, status: int) -> Response:
    """The page with what was typed in it and what is wrong; for our script the sentence alone."""
    if wants_json(request):
        return JSONResponse({"problems": {}, "message": error}, status)
    page = {"title": "Pair this phone", "name": typed.get("phone", "Phone"), "code": typed.get("code", "")}
    return show(request, "pair.html", {**page, "error": error, "longest_name": LONGEST_NAME}, status)


def _alone(request: Request) -> Response:
    words = "Phones cannot reach this garage: it is served on this computer only. Start it with serve --lan."
    return trouble(request, "No phones here", words, 404)


ROUTES = (Route("/pair", _page), Route("/pair", _pair, methods=["POST"]))
