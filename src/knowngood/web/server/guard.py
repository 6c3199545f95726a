"""Who may see a garage: decided before any page, for every answer."""

import hashlib
import hmac
import re
from collections.abc import Iterable
from ipaddress import ip_address
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from knowngood.acts.job.garage import Garage
from knowngood.store.errors import StoreError
from knowngood.web.server.answers import THIS_COMPUTER, trouble

HOST = re.compile(r"([a-z0-9.-]+)(?::[0-9]{1,5})?")
LOOPBACK_NAMES = ("127.0.0.1", "localhost")
# All that whoever is not paired may have: the page that pairs, and our own files that it is made of.
PAIR, STATIC = "/pair", "/static/"
ONLY_LOOKS = ("GET", "HEAD")
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
NOT_NEEDED = ("accelerometer", "display-capture", "geolocation", "gyroscope", "magnetometer", "microphone", "usb")
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": ", ".join(["camera=(self)", *(f"{one}=()" for one in NOT_NEEDED)]),
}
NOT_PAIRED = (
    "This phone is not paired",
    "Scan the code that the computer shows under Phones, or type it in. "
    "What was typed on this phone is kept on it and sent when it is paired again.",
)
NOT_READ = "The garage cannot be read just now, so nobody can be let in. Wait a minute and load the page again."


class Phones:
    """Which phones are paired, and when each was last seen since the program began."""

    def __init__(self, garage: Garage) -> None:
        self._garage = garage
        self._known: tuple[int, dict[str, str]] = (-1, {})
        self.seen: dict[str, str] = {}

    def holder(self, secret: str) -> str:
        """Return the id of the phone that was given this secret; "" when it is not paired or was dropped."""
        newest = self._garage.store.newest_seq("phones")
        if self._known[0] != newest:
            paired = self._garage.phones().paired
            self._known = newest, {event.data["key_sha256"]: event.id for event in paired}
        phone = self._known[1].get(key_sha256(secret), "")
        if phone:
            self.seen[phone] = self._garage.now()
        return phone


def key_sha256(secret: str) -> str:
    """What is kept of a phone's secret; it has 256 bits, so a plain hash cannot be turned round."""
    return hashlib.sha256(secret.encode()).hexdigest()


def cookie_name(garage: Garage) -> str:
    """The cookie of this garage's phones; a browser keeps one jar for all ports of an address."""
    return f"knowngood-{garage.store.id[:12]}"


def seal(garage: Garage, who: str) -> str:
    """What a form carries to show that it came from a page that we made for whoever sends it."""
    return hmac.new(garage.store.secret.encode(), who.encode(), hashlib.sha256).hexdigest()


def is_sealed(request: Request, sent: str) -> bool:
    """Does a form carry the seal of whoever sends it?"""
    return bool(request.state.csrf) and hmac.compare_digest(request.state.csrf.encode(), sent.encode())


class Guard:
    """Stands before the application: right address, right sender, or nothing; and its headers on every answer.

    Pages find in `request.state` who asks: `who` is this computer or a phone's id, `csrf` seals that one's forms.
    """

    def __init__(self, app: Starlette, garage: Garage, phones: Phones, *, lan_hosts: Iterable[str] = ()) -> None:
        self.app, self._garage, self._phones = app, garage, phones
        self._hosts = (*LOOPBACK_NAMES, *lan_hosts)

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer, or hand on to the application."""
        if scope["type"] != "http":
            return await self.app(scope, receive, send)
        scope = {**scope, "app": self.app, "state": {**scope.get("state", {}), "who": "", "csrf": ""}}
        request = Request(scope)
        refusal = self._misdirected(request) or _from_elsewhere(request) or await self._stranger(request)
        return await (refusal or self.app)(scope, receive, _with_headers(scope, send))

    def _misdirected(self, request: Request) -> Response | None:
        """A name that is not ours may be another site's, pointed at this machine to read along."""
        if len(request.headers.getlist("host")) == 1 and _host_of(request) in self._hosts:
            return None
        words = (
            f'This page was asked for as "{request.headers.get("host", "")[:60]}", which is not its address. '
            "Open the address that Knowngood printed when it was started."
        )
        return trouble(request, "Wrong address", words, 400)

    async def _stranger(self, request: Request) -> Response | None:
        # The path as it is routed; one put together from what the sender calls us could be bent by the sender.
        path = request.scope["path"]
        if path == PAIR or path.startswith(STATIC):
            return None
        if self._at_computer(request):
            who = THIS_COMPUTER
        else:
            secret = request.cookies.get(cookie_name(self._garage), "")
            try:
                who = await run_in_threadpool(self._phones.holder, secret) if secret else ""
            except StoreError:  # its words name the garage's folder, which is not for strangers
                return trouble(request, "Not now", NOT_READ, 503)
        if not who:
            return trouble(request, *NOT_PAIRED, 401, template="not_paired.html")
        request.state.who, request.state.csrf = who, seal(self._garage, who)
        return None

    def _at_computer(self, request: Request) -> bool:
        """Asked on this machine by its own name; the address on the network is for phones, wherever it is used."""
        address = request.client.host if request.client else ""
        return _is_loopback(address) and _host_of(request) in LOOPBACK_NAMES


def _host_of(request: Request) -> str:
    """The name that was asked for, without its port; "" when it is more than a name and a port."""
    found = HOST.fullmatch(request.headers.get("host", "").lower())
    return found[1] if found else ""


def _is_loopback(address: str) -> bool:
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False


def _from_elsewhere(request: Request) -> Response | None:
    """Whatever changes something must come from a page of our own."""
    if request.method in ONLY_LOOKS:
        return None
    own = f"{request.scope['scheme']}://{request.headers.get('host', '').lower()}"
    origin, site = request.headers.get("origin", own), request.headers.get("sec-fetch-site", "none")
    if origin.lower() == own and site in ("same-origin", "none"):
        return None
    words = "This was sent from another site's page; only a page of Knowngood may send here. Enter it on such a page."
    return trouble(request, "Not taken", words, 403)


def _with_headers(scope: Any, send: Any) -> Any:
    """No script, style or frame but our own, and nothing kept that the next event would make untrue.

    An answer that says otherwise of itself, as a photo that never changes, is let be.
    """
    extra = dict(HEADERS)
    if not scope["path"].startswith(STATIC):
        extra["cache-control"] = "no-store"
    added = [(name.encode(), words.encode()) for name, words in extra.items()]

    async def with_headers(message: Any) -> None:
        if message["type"] == "http.response.start":
            own = {name.lower() for name, _ in message["headers"]}
            message = {**message, "headers": [*message["headers"], *(one for one in added if one[0] not in own)]}
        await send(message)

    return with_headers
