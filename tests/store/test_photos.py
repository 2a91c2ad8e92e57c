"""Photos: kept whole under their hash, or not at all; shown small and safe."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pillow_heif
import pytest
from PIL import Image, ImageOps
from sqlite_utils import Database

from app import config
from app.store import images
from app.store.images import NotShown
from app.store.photos import PhotoFolder, PhotoRefused
from tests.conftest import picture


def sha256_of(held: bytes) -> str:
    return hashlib.sha256(held).hexdigest()


def files_in(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


class Dribble(io.BytesIO):
    """A stream that gives few bytes at a time, as a slow network does."""

    def read(self, size: int | None = -1, /) -> bytes:
        return super().read(5)


@pytest.mark.parametrize(
    ("kind", "type"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp"), ("HEIF", "image/heic")]
)
def test_each_kind_of_photo_is_kept_under_its_hash(db: Database, photos: PhotoFolder, kind: str, type: str) -> None:
    held = picture(kind)
    kept = photos.keep(db, sha256_of(held), Dribble(held))
    assert (kept.type, kept.size) == (type, len(held))
    assert kept.path.read_bytes() == held
    assert photos.find(db, sha256_of(held)) == kept
    assert files_in(photos.folder) == [kept.path]


@pytest.mark.parametrize(
    ("held", "name", "code"),
    [
        (picture(), "0" * 64, "hash"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", None, "kind"),
        (b"", None, "kind"),
        (b"\xff\xd8", None, "kind"),
    ],
)
def test_what_is_no_photo_or_not_the_named_one_leaves_nothing(
    db: Database, photos: PhotoFolder, held: bytes, name: str | None, code: str
) -> None:
    with pytest.raises(PhotoRefused) as refused:
        photos.keep(db, name or sha256_of(held), io.BytesIO(held))
    assert refused.value.code == code
    assert files_in(photos.folder) == []
    assert db.execute("SELECT count(*) FROM photos").fetchone()[0] == 0


def test_an_endless_photo_is_cut_off_at_the_limit(db: Database, photos: PhotoFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.store.photos.PHOTO_LIMIT_BYTES", 100_000)

    class Endless:
        given = 0

        def read(self, size: int, /) -> bytes:
            self.given += size
            return b"\xff" * size

    endless = Endless()
    with pytest.raises(PhotoRefused, match="up to"):
        photos.keep(db, "0" * 64, endless)
    assert endless.given < 300_000
    assert files_in(photos.folder) == []


def test_a_photo_whose_file_is_gone_counts_as_missing_and_can_be_sent_again(db: Database, photos: PhotoFolder) -> None:
    held = picture()
    kept = photos.keep(db, sha256_of(held), io.BytesIO(held))
    kept.path.unlink()
    assert photos.find(db, kept.sha256) is None
    photos.keep(db, kept.sha256, io.BytesIO(held))
    assert photos.find(db, kept.sha256) == kept


@pytest.mark.parametrize("name", ["../../etc/passwd", "..", "A" * 64, "0" * 63, ""])
def test_a_name_that_is_no_hash_never_becomes_a_path(db: Database, photos: PhotoFolder, name: str) -> None:
    assert photos.find(db, name) is None
    with pytest.raises(ValueError, match="not a SHA-256"):
        photos.path(name)


def test_a_heic_photo_is_shown_as_an_upright_jpeg_without_metadata(tmp_path: Path) -> None:
    turned = Image.new("RGB", (400, 200), "white")
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF orientation: turn by 90 degrees clockwise to see it upright
    exif[0x010F] = "a maker"
    path = tmp_path / "photo"
    turned.save(path, "JPEG", exif=exif)
    shown = Image.open(io.BytesIO(images.rendition(path, 100)))
    assert (shown.format, shown.size) == ("JPEG", (50, 100))
    assert not shown.getexif()

    pillow_heif.from_pillow(Image.new("RGB", (320, 160), "red")).save(path)
    shown = Image.open(io.BytesIO(images.rendition(path, 80)))
    assert (shown.format, shown.size) == ("JPEG", (80, 40))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_each_way_that_a_camera_was_held_is_turned_as_the_library_turns_it(tmp_path: Path, orientation: int) -> None:
    turned = Image.effect_noise((40, 24), 90).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = orientation
    turned.save(tmp_path / "photo", "PNG", exif=exif)
    with images.opened(tmp_path / "photo", 100) as opened:
        expected = ImageOps.exif_transpose(opened)
        assert images.bare(opened, 100).tobytes() == expected.tobytes()


def test_a_picture_whose_hidden_data_are_damaged_is_shown_upright(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112], exif[0x0132] = 6, "2026:03"
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "red").save(out, "JPEG", exif=exif)
    # The time's tag has become that of the picture's height: a text for a number, which the library reads and can't write again.
    damaged = out.getvalue().replace(b"\x01\x32\x00\x02", b"\x01\x01\x00\x02", 1)
    assert damaged != out.getvalue()
    (tmp_path / "photo").write_bytes(damaged)
    assert Image.open(io.BytesIO(images.rendition(tmp_path / "photo", 64))).size == (48, 64)


def test_a_picture_of_too_many_pixels_is_never_decoded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "bomb"
    Image.new("1", (30_000, 30_000)).save(path, "PNG")  # 900 million pixels in about 110 kB
    assert path.stat().st_size < 1_000_000
    monkeypatch.setattr(Image.Image, "load", lambda self: pytest.fail("decoded"))
    with pytest.raises(NotShown, match=f"more than {config.PIXEL_LIMIT // 1_000_000} million pixels"):
        images.rendition(path, 100)


@pytest.mark.parametrize("cut", [40, 300])
def test_a_damaged_picture_is_said_to_be_damaged(tmp_path: Path, cut: int) -> None:
    path = tmp_path / "photo"
    path.write_bytes(picture(size=(600, 400))[:cut])
    with pytest.raises(NotShown, match="damaged"):
        images.rendition(path, 100)
