"""Serve a garage on this machine only, or to paired phones on its network."""

import errno
import io
import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from ipaddress import AddressValueError, IPv4Address

import uvicorn

from knowngood.acts.job.garage import Garage
from knowngood.refusal import Refused
from knowngood.web.server.app import application
from knowngood.web.server.bell import Bell
from knowngood.web.server.checking import Checking
from knowngood.web.server.pairing import Lan, Pairing
from knowngood.web.server.patience import Patience
from knowngood.web.server.worker import Worker
from knowngood.words import clock_words

LONGEST_WAIT_S = 5  # ours: for pages that are being drawn when the program is stopped
LOOPBACK, ALL = "127.0.0.1", "0.0.0.0"
# Set aside for documentation (RFC 5737): nobody is there. A UDP socket that is "connected" has sent nothing yet.
NOBODY = ("192.0.2.1", 9)
TRUST = "Use this on a network that you trust: what is sent between phone and computer is not encrypted."


def serve(garage: Garage, *, port: int, browser: bool, lan: str | None = None) -> bool:
    """Serve until interrupted; say where. False when the port cannot be had.

    Args:
        garage: What to serve.
        port: 0 takes any free one.
        browser: Open the address where there is a browser.
        lan: The address under which phones reach this machine; empty finds it; None keeps phones out.

    Raises:
        Refused: The address cannot be used, or none was found.
    """
    host = None if lan is None else lan_address(lan)
    addresses = [LOOPBACK] if host is None else list(dict.fromkeys([LOOPBACK, host])) if lan else [ALL]
    sockets = _listen_at(addresses, port)
    if not sockets:
        return False
    port = sockets[0].getsockname()[1]
    home = f"http://{LOOPBACK}:{port}/"
    print(f"Knowngood is at {home}\nThe garage is kept in {garage.folder}. Stop with Ctrl+C.", flush=True)
    door = Lan(host, port, Pairing(garage.clock)) if host is not None else None
    if door:
        print(invitation(door, shown=_can_show()), flush=True)
    if browser:
        threading.Timer(1.0, webbrowser.open, [home]).start()
    # Headers that a proxy writes can be written by anyone; who asks is who is connected.
    worker = Worker()
    app = application(garage, door, Bell(partial(print, flush=True), garage.clock), worker)
    config = uvicorn.Config(
        app, http=Patience, log_level="warning", lifespan="off", proxy_headers=False, server_header=False,
        timeout_graceful_shutdown=LONGEST_WAIT_S,
    )  # fmt: skip
    with Checking(garage.store), suppress(KeyboardInterrupt):  # Ctrl+C is how it is stopped
        uvicorn.Server(config).run(sockets=sockets)
    worker.stop()
    return True


@contextmanager
def until_stopped() -> Iterator[None]:
    """Do what is within until Ctrl+C or SIGTERM; both end it alike, and all that is open within is closed."""

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, interrupted)
    try:
        with suppress(KeyboardInterrupt):
            yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _listen_at(addresses: Sequence[str], port: int) -> list[socket.socket]:
    """Sockets that listen at all of these, on one port; none when one cannot be had."""
    sockets: list[socket.socket] = []
    for address in addresses:
        one = _listen(address, port)
        if one is None:
            for other in sockets:
                other.close()
            return []
        sockets.append(one)
        port = one.getsockname()[1]
    return sockets


def lan_address(given: str) -> str:
    """Return the address under which phones reach this machine: the one given, or the one found.

    Raises:
        Refused: It cannot be one, or none was found.
    """
    address = given or _own_address()
    try:
        usable = not (IPv4Address(address).is_unspecified or IPv4Address(address).is_multicast)
    except AddressValueError:
        usable = False
    if not usable:
        raise Refused(
            {"lan": f'--lan: "{given}" is not an address that a phone can open, such as 192.168.1.20. Give that of '
             "this machine, or --lan alone to have it found."}
        )  # fmt: skip
    return address


def _own_address() -> str:
    """The address of this machine on the network that it would send through."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(NOBODY)
            address = str(asking.getsockname()[0])
        except OSError:
            address = ""
    if not address or IPv4Address(address).is_loopback:
        raise Refused(
            {"lan": "--lan: this machine is on no network, so a phone cannot reach it. Join the network that the phone "
             "is on, or give this machine's address on it, such as --lan 192.168.1.20."}
        )  # fmt: skip
    return address


def _listen(address: str, port: int) -> socket.socket | None:
    """A socket that listens; None, and a sentence, when it cannot be had."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
        listening.listen()  # before the address is printed, so that whoever reads it is answered
    except (OSError, OverflowError) as trouble:
        if getattr(trouble, "errno", None) == errno.EADDRNOTAVAIL:
            words = (
                f"--lan: {address} is not an address of this machine. Give its own, or --lan alone to have it found."
            )
        else:
            words = f"Port {port} cannot be had: another program may hold it. Give another with --port, or 0."
        print(words, file=sys.stderr)
        listening.close()
        return None
    return listening


def invitation(lan: Lan, *, shown: bool) -> str:
    """What the terminal says to whoever wants to pair a phone; a code is shown to a person only, not to a file."""
    where = (
        f"Phones on the same network pair at {lan.address}. When one does not reach it, this machine has another "
        "address: give it with --lan ADDRESS."
    )
    page = f"http://{LOOPBACK}:{lan.port}/phones"
    if not shown:
        return f"{where}\nThe code is on the page {page}.\n{TRUST}"
    code = lan.pairing.code()
    return (
        f"{where}\n\n{_picture(lan.link(code))}\nOr type the code {code.text}. "
        f"It is good until {clock_words(code.until, None)}, for one phone; another is on the page {page}.\n{TRUST}"
    )


def _picture(link: str) -> str:
    import segno

    drawn = io.StringIO()
    segno.make(link, error="m", micro=False).terminal(drawn, border=2, compact=True)
    return drawn.getvalue()


def _can_show() -> bool:
    """A person looks at a screen that has the blocks; a file or a log would keep the code."""
    return sys.stdout.isatty() and "utf" in (sys.stdout.encoding or "").lower()
