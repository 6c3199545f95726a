import hashlib

import pytest

from knowngood.store.errors import StoreError
from knowngood.store.photos import Photos

JPEG = b"\xff\xd8\xff\xe0" + b"picture"
PNG = b"\x89PNG\r\n\x1a\n" + b"picture"
WEBP = b"RIFF\x10\x00\x00\x00WEBPVP8 " + b"picture"


@pytest.mark.parametrize(("content", "ending"), [(JPEG, "jpg"), (PNG, "png"), (WEBP, "webp")])
def test_a_photo_is_named_by_what_is_in_it(tmp_path, content, ending):
    photos = Photos(tmp_path / "photos")
    name = photos.keep(content)
    assert name == f"{hashlib.sha256(content).hexdigest()}.{ending}"
    assert photos.read(name) == content


def test_the_same_photo_is_kept_once_and_nothing_is_left_over(tmp_path):
    photos = Photos(tmp_path)
    assert photos.keep(JPEG) == photos.keep(JPEG)
    assert len(list(tmp_path.iterdir())) == 1


def test_a_damaged_photo_is_named_and_mended_when_it_is_sent_again(tmp_path):
    photos = Photos(tmp_path)
    name = photos.keep(JPEG)
    (tmp_path / name).write_bytes(JPEG[:-1])
    with pytest.raises(StoreError) as refused:
        photos.read(name)
    assert str(refused.value) == (
        f"{tmp_path / name} is damaged: it is not the photo that was kept. Put it back from your last backup."
    )
    assert photos.keep(JPEG) == name
    assert photos.read(name) == JPEG


def test_something_else_is_refused(tmp_path):
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path).keep(b"<svg onload='alert(1)'>")
    assert str(refused.value) == "The file is not a photo that is kept here. Send JPEG, PNG or WebP."
    assert list(tmp_path.iterdir()) == []


def test_a_photo_above_the_limit_is_refused(tmp_path):
    photos = Photos(tmp_path, limit_bytes=2_000_000)
    with pytest.raises(StoreError) as refused:
        photos.keep(JPEG + bytes(2_500_000))
    assert str(refused.value) == "The photo has 2.5 MB; up to 2 MB are kept. Send a smaller one."


@pytest.mark.parametrize("name", ["../garage.sqlite3", "a.jpg", f"{'0' * 64}.png", f"{'0' * 64}.exe"])
def test_a_name_that_is_not_there_is_refused(tmp_path, name):
    (tmp_path / "garage.sqlite3").write_bytes(b"secret")
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path / "photos").read(name)
    expected = f'There is no photo "{name}" in this garage. Put back the photos from your last backup.'
    assert str(refused.value) == expected


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "photos").write_text("a file")
    with pytest.raises(StoreError) as refused:
        Photos(tmp_path / "photos").keep(JPEG)
    expected = f"{tmp_path / 'photos'}: the photo could not be written (File exists). Make room and send it again."
    assert str(refused.value) == expected
