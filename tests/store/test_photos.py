import errno
import hashlib
import io
import os

import pytest
from PIL import Image

from knowngood.store.errors import PhotoRefused, StoreError
from knowngood.store.photos import Photos


def a_photo(format: str = "JPEG", colour: str = "red") -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (30, 20), colour).save(file, format)
    return file.getvalue()


@pytest.mark.parametrize(("format", "ending"), [("JPEG", "jpg"), ("PNG", "png"), ("WEBP", "webp")])
def test_a_photo_is_named_by_what_is_kept_of_it(tmp_path, format, ending):
    photos = Photos(tmp_path / "photos")
    name = photos.keep(a_photo(format) + b"something behind it")
    kept = photos.read(name)
    assert name == f"{hashlib.sha256(kept).hexdigest()}.{ending}"
    assert b"something" not in kept
    assert Image.open(io.BytesIO(kept)).format == format


def test_the_same_photo_is_kept_once_and_nothing_is_left_over(tmp_path):
    photos = Photos(tmp_path)
    assert photos.keep(a_photo()) == photos.keep(a_photo())
    assert len(list(tmp_path.iterdir())) == 1


def test_a_damaged_photo_is_named_and_mended_when_it_is_sent_again(tmp_path):
    photos = Photos(tmp_path)
    name = photos.keep(a_photo())
    kept = photos.read(name)
    (tmp_path / name).write_bytes(kept[:-1])
    with pytest.raises(StoreError) as refused:
        photos.read(name)
    assert str(refused.value) == (
        f"{tmp_path / name} is damaged: it is not the photo that was kept. Put it back from your last backup."
    )
    assert photos.keep(a_photo()) == name
    assert photos.read(name) == kept


def test_a_photo_that_the_disk_does_not_give_is_named(tmp_path, monkeypatch):
    photos = Photos(tmp_path)
    name = photos.keep(a_photo())

    def silent(path):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(type(tmp_path), "read_bytes", silent)
    with pytest.raises(StoreError) as refused:
        photos.read(name)
    assert str(refused.value) == (
        f"{tmp_path / name} cannot be read (Input/output error). Look whether its disk answers."
    )


def test_something_else_is_refused_and_leaves_nothing(tmp_path):
    with pytest.raises(PhotoRefused) as refused:
        Photos(tmp_path).keep(b"<svg onload='alert(1)'>")
    assert str(refused.value) == "The file is not a photo that is kept here. Send JPEG, PNG or WebP."
    assert list(tmp_path.iterdir()) == []


def test_a_photo_above_the_limit_is_refused_before_it_is_drawn(tmp_path):
    photos = Photos(tmp_path, limit_bytes=2_000_000)
    with pytest.raises(PhotoRefused) as refused:
        photos.keep(b"MZ" + bytes(2_500_000))
    assert str(refused.value) == "The photo has 2.5 MB; up to 2 MB are kept. Send a smaller one."


@pytest.mark.parametrize(
    "name", ["../garage.sqlite3", "a.jpg", f"{'0' * 64}.png", f"{'0' * 64}.exe", "/etc/hostname", "a\0.jpg", "a" * 5000]
)
def test_a_name_that_is_not_there_is_refused(tmp_path, name):
    (tmp_path / "garage.sqlite3").write_bytes(b"secret")
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path / "photos").read(name)
    expected = f'There is no photo "{name}" in this garage. Put back the photos from your last backup.'
    assert str(refused.value) == expected


def test_a_folder_that_is_a_file_is_said(tmp_path):
    (tmp_path / "photos").write_text("a file")
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path / "photos").keep(a_photo())
    assert str(refused.value) == (
        f"{tmp_path / 'photos'}: the photo could not be written (File exists). "
        "Look whether that folder is there and its disk answers, then send it again."
    )


@pytest.mark.parametrize(
    ("number", "to_do"),
    [
        (errno.ENOSPC, "Make room on that disk and send it again."),
        (errno.EDQUOT, "Make room on that disk and send it again."),
        (errno.EACCES, "Allow writing to that folder and send it again."),
        (errno.EROFS, "Allow writing to that folder and send it again."),
    ],
)
def test_what_to_do_follows_from_what_the_system_says(tmp_path, monkeypatch, number, to_do):
    def refuse(*_):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path).keep(a_photo())
    assert not isinstance(refused.value, PhotoRefused)
    assert str(refused.value) == f"{tmp_path}: the photo could not be written ({os.strerror(number)}). {to_do}"
    assert list(tmp_path.iterdir()) == []
