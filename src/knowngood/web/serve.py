"""Serve a garage on this machine only."""

import socket
import sys
import threading
import webbrowser

import uvicorn

from knowngood.acts.garage import Garage
from knowngood.web.app import application

LOOPBACK = "127.0.0.1"


def serve(garage: Garage, *, port: int, browser: bool) -> bool:
    """Serve until interrupted; say where. False when the port cannot be had.

    Args:
        garage: What to serve.
        port: 0 takes any free one.
        browser: Open the address where there is a browser.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((LOOPBACK, port))
        listening.listen()  # before the address is printed, so that whoever reads it is answered
    except (OSError, OverflowError):
        print(
            f"Port {port} cannot be had: another program may hold it. Give another with --port, or 0.", file=sys.stderr
        )
        listening.close()
        return False
    address = f"http://{LOOPBACK}:{listening.getsockname()[1]}/"
    print(f"Knowngood is at {address}\nThe garage is kept in {garage.folder}. Stop with Ctrl+C.", flush=True)
    if browser:
        threading.Timer(1.0, webbrowser.open, [address]).start()
    config = uvicorn.Config(application(garage), log_level="warning", lifespan="off")
    uvicorn.Server(config).run(sockets=[listening])
    return True
