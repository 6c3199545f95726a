"""The server killed in the middle of taking entries, again and again: what was answered is there, and there once."""

import itertools
import json
import random
import re
import shutil
import socket
import sqlite3
import subprocess
import sys
import threading
import time
import urllib.request
from collections import Counter
from contextlib import closing
from urllib.error import URLError

import pytest
from PIL import Image
from tests.browser.test_offline import NOW, do_step, waiting, write_note
from tests.patience import LONGEST_S

from knowngood.store.photos import Photos

pytestmark = pytest.mark.browser

# Tells the test which entries the page wrote down and which it saw answered, as the page itself comes to know it.
WITNESS = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (value, ...more) {
  if (this.name === "entries") written(value.fields.find(([name]) => name === "id")[1]);
  return put.call(this, value, ...more);
};
const plain = window.fetch;
window.fetch = async (path, options) => {
  const answer = await plain(path, options);
  if (path === "/events" && answer.status === 200) await answered(options.body.get("id"));
  return answer;
};
"""
IDS = "() => [...document.querySelectorAll('#step > form, form[data-kind=noted]')].map((one) => one.elements.id.value)"


class Server:
    """One garage, served at one address however often the process behind it is killed."""

    def __init__(self, folder):
        self.folder, self.process = folder, None
        with socket.socket() as asked:
            asked.bind(("127.0.0.1", 0))
            self.port = asked.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"

    def start(self):
        where = ["--garage", str(self.folder), "--port", str(self.port), "--no-browser"]
        self.process = subprocess.Popen([sys.executable, "-m", "knowngood", "serve", *where], stdout=subprocess.DEVNULL)
        while not self.answers():
            assert self.process.poll() is None, "the server ended by itself"
            time.sleep(0.05)

    def answers(self):
        try:
            return urllib.request.urlopen(f"{self.address}/alive", timeout=LONGEST_S).status == 200
        except (URLError, ConnectionError):
            return False

    def kill(self):
        self.process.kill()

    def asked(self, question):
        """Rows from the disk, read without the program."""
        with closing(sqlite3.connect(f"file:{self.folder}/garage.sqlite3?mode=ro", uri=True)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            return connection.execute(question).fetchall()

    def newest(self):
        return self.asked("SELECT max(seq) FROM event WHERE stream = 'job/runs-hot'")[0][0]

    def stored(self):
        """What was entered by hand: (id, kind, what)."""
        rows = self.asked("SELECT id, kind, data FROM event WHERE device != 'demo' ORDER BY seq")
        return [(one, kind, json.loads(data)) for one, kind, data in rows]


@pytest.fixture
def photo(tmp_path):
    file = tmp_path / "photo.jpg"
    Image.effect_noise((640, 480), 60).save(file)
    return file


@pytest.fixture
def server(tmp_path, filled):
    shutil.copytree(filled, tmp_path / "garage")
    one = Server(tmp_path / "garage")
    one.start()
    yield one
    one.kill()
    one.process.wait(LONGEST_S)


class Hand:
    """Someone who goes on entering, whatever the computer does; remembers what was pressed."""

    def __init__(self, page, photo):
        self.page, self.photo = page, photo
        self.pressed, self.notes, self.written, self.answered = [], [], [], set()
        page.expose_binding("written", lambda _, one: self.written.append(one))
        page.expose_binding("answered", lambda _, one: self.answered.add(one))
        page.add_init_script(WITNESS)

    def enter(self, chance):
        """One entry: a note, sometimes with a photo, or what the step asks for."""
        *step, note = self.page.evaluate(IDS)
        if step and chance.random() < 0.5:
            (before,) = step
            do_step(self.page)
        else:
            before = note
            self.notes.append(f"note {len(self.notes)} of the hand")
            write_note(self.page, self.notes[-1], self.photo if chance.random() < 0.4 else None)
            self.page.wait_for_function(f"before => !({IDS})().includes(before)", arg=before)
        self.pressed.append(before)
        self.page.wait_for_load_state()


def round_of(server, hand, chance):
    """Some entries with the server there, some without a connection; it is killed while those are being sent."""
    page = hand.page
    hand.enter(chance)
    page.context.set_offline(True)
    count = chance.randint(4, 7)
    for _ in range(count):
        hand.enter(chance)
    waiting(page, count)
    sent = itertools.count(1)
    deadly, later_s = chance.randint(1, count - 1), chance.uniform(0, 0.02)

    def watch(request):
        if request.url.endswith("/events") and next(sent) == deadly:
            threading.Timer(later_s, server.kill).start()

    page.on("request", watch)
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    while server.process.poll() is None:
        page.wait_for_timeout(5)
    page.remove_listener("request", watch)
    hand.enter(chance)


def found_missing(server, hand):
    """What the page saw answered and the disk does not have; photos count as what they hold."""
    rows = {one: data for one, _, data in server.stored()}
    for data in rows.values():
        if data.get("photo"):
            Photos(server.folder / "photos").read(data["photo"])  # checks it against its name
    return [one for one in hand.answered if one not in rows]


def test_a_server_killed_in_the_middle_loses_nothing_and_doubles_nothing(server, page_for, photo, request):
    hand = Hand(page_for(390, 844, has_touch=True), photo)
    hand.page.goto(server.address + NOW)
    chance, left_waiting = random.Random(20261125), []
    for _ in range(50 if request.config.getoption("--long") else 5):
        round_of(server, hand, chance)
        assert found_missing(server, hand) == []
        left_waiting.append(int(re.match(r"\d+", hand.page.locator("#waiting").inner_text())[0]))
        server.start()
        hand.page.evaluate("dispatchEvent(new Event('online'))")
        hand.page.locator("#waiting").wait_for(state="hidden")
        # By itself the page goes on to what it has brought.
        hand.page.wait_for_function("newest => Number(document.body?.dataset.seq) === newest", arg=server.newest())
        hand.page.wait_for_load_state()
    rows = server.stored()
    own = [one for one, _, data in rows if "with" not in data]
    assert sorted(own) == sorted(hand.pressed) == sorted(set(hand.written))
    assert set(hand.pressed) == hand.answered
    assert max(Counter(one for one, _, _ in rows).values()) == 1
    assert sorted(data["text"] for _, kind, data in rows if kind == "noted") == sorted(hand.notes)
    assert max(left_waiting) > 1
