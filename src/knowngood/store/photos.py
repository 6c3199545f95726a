"""Photos: files named by the SHA-256 of what is in them, so that a name tells when a file is damaged."""

import hashlib
import os
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path

from knowngood.store.errors import StoreError

LIMIT_BYTES = 25_000_000  # ours: a phone's largest photo with room to spare
NAME = re.compile(r"([0-9a-f]{64})\.(jpg|png|webp)")


def kind_of(content: bytes) -> str | None:
    """Return jpg, png or webp by the first bytes; None for anything else.

    Example:
        >>> kind_of(bytes([0xFF, 0xD8, 0xFF, 0xE0])), kind_of(b"GIF89a")
        ('jpg', None)
    """
    if content.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "webp"
    return None


@dataclass(frozen=True)
class Photos:
    """The folder of photos."""

    folder: Path
    limit_bytes: int = LIMIT_BYTES

    def keep(self, content: bytes) -> str:
        """Keep a photo and return its name; the same photo again is kept once.

        Raises:
            StoreError: It is too large, no photo, or the disk refuses it.
        """
        if len(content) > self.limit_bytes:
            size, limit = len(content) / 1e6, self.limit_bytes / 1e6
            raise StoreError(f"The photo has {size:.1f} MB; up to {limit:g} MB are kept. Send a smaller one.")
        kind = kind_of(content)
        if kind is None:
            raise StoreError("The file is not a photo that is kept here. Send JPEG, PNG or WebP.")
        name = f"{hashlib.sha256(content).hexdigest()}.{kind}"
        try:
            if not self._holds(name, content):
                self._write(name, content)
        except OSError as trouble:
            why = trouble.strerror or "no reason given"
            raise StoreError(
                f"{self.folder}: the photo could not be written ({why}). Make room and send it again."
            ) from trouble
        return name

    def read(self, name: str) -> bytes:
        """Return a photo's bytes, checked against its name.

        Raises:
            StoreError: There is none of that name, or it is damaged.
        """
        match = NAME.fullmatch(name)
        path = self.folder / name
        if match is None or not path.is_file():
            raise StoreError(f'There is no photo "{name}" in this garage. Put back the photos from your last backup.')
        content = path.read_bytes()
        if hashlib.sha256(content).hexdigest() != match[1]:
            raise StoreError(
                f"{path} is damaged: it is not the photo that was kept. Put it back from your last backup."
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


def sync_folder(folder: Path) -> None:
    """Make a new name in a folder survive a power cut, where the system lets a folder be synced."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
