"""Photos: files named by the SHA-256 of what is in them, so that a name tells when a file is damaged."""

import errno
import hashlib
import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

from knowngood.store.errors import PLACE, PhotoRefused, StoreError

LIMIT_BYTES = 25_000_000  # ours: a phone's largest photo with room to spare
NAME = re.compile(r"([0-9a-f]{64})\.(jpg|png|webp)")

NO_ROOM = "Make room on that disk and send it again."
NOT_ALLOWED = "Allow writing to that folder and send it again."
LOOK = "Look whether that folder is there and its disk answers, then send it again."
# What to do, by the system's number for what went wrong.
TO_DO = {
    errno.ENOSPC: NO_ROOM,
    errno.EDQUOT: NO_ROOM,
    errno.EACCES: NOT_ALLOWED,
    errno.EPERM: NOT_ALLOWED,
    errno.EROFS: NOT_ALLOWED,
}


@dataclass(frozen=True)
class Photos:
    """The folder of photos."""

    folder: Path
    limit_bytes: int = LIMIT_BYTES

    def keep(self, content: bytes) -> str:
        """Keep a photo, drawn anew, and return its name; the same photo again is kept once.

        Raises:
            PhotoRefused: It is too large or no photo.
            StoreError: The disk refuses it.
        """
        from knowngood.store.pixels import cleaned  # Pillow, which only photos need

        if len(content) > self.limit_bytes:
            size, limit = len(content) / 1e6, self.limit_bytes / 1e6
            raise PhotoRefused(f"The photo has {size:.1f} MB; up to {limit:g} MB are kept. Send a smaller one.")
        pixels, kind = cleaned(content)
        name = f"{hashlib.sha256(pixels).hexdigest()}.{kind}"
        try:
            if not self._holds(name, pixels):
                self._write(name, pixels)
        except OSError as trouble:
            raise StoreError(f"{PLACE}: {_in_words(trouble)}", self.folder) from trouble
        return name

    def read(self, name: str) -> bytes:
        """Return a photo's bytes, checked against its name.

        Raises:
            StoreError: There is none of that name, or it is damaged or cannot be read.
        """
        match = NAME.fullmatch(name)
        path = self.folder / name
        if match is None or not path.is_file():
            raise StoreError(f'There is no photo "{name}" in this garage. Put back the photos from your last backup.')
        try:
            content = path.read_bytes()
        except OSError as trouble:
            why = trouble.strerror or "no reason given"
            raise StoreError(f"{PLACE} cannot be read ({why}). Look whether its disk answers.", path) from trouble
        if hashlib.sha256(content).hexdigest() != match[1]:
            raise StoreError(
                f"{PLACE} is damaged: it is not the photo that was kept. Put it back from your last backup.", path
            )
        return content

    def _holds(self, name: str, content: bytes) -> bool:
        path = self.folder / name
        return path.is_file() and path.read_bytes() == content

    def _write(self, name: str, content: bytes) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, written = tempfile.mkstemp(dir=self.folder, prefix=".new-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(written, self.folder / name)
        except BaseException:
            Path(written).unlink(missing_ok=True)
            raise
        sync_folder(self.folder)


def _in_words(trouble: OSError) -> str:
    why = trouble.strerror or "no reason given"
    return f"the photo could not be written ({why}). {TO_DO.get(trouble.errno or 0, LOOK)}"


def sync_folder(folder: Path) -> None:
    """Make a new name in a folder survive a power cut, where the system lets a folder be synced."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
