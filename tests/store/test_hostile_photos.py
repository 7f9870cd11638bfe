"""Files sent as photos that are none, are broken, or are made to do harm: refused, with nothing kept."""

from __future__ import annotations

import io
import random
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from powergood.errors import BadPhoto
from powergood.store import Store
from powergood.store.picture import HEIC, LARGEST_BYTES, picture

DATA = Path(__file__).parent / "data"


def jpeg() -> bytes:
    out = io.BytesIO()
    Image.effect_noise((320, 240), 60).convert("RGB").save(out, "JPEG")
    return out.getvalue()


def png(width: int, height: int) -> bytes:
    """Return a true PNG of one colour, packed row by row so that a vast one costs little to make."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    packer = zlib.compressobj(9)
    row = bytes(1 + (width + 7) // 8)
    block = row * 1000
    rows = b"".join(packer.compress(block) for _ in range(height // 1000))
    rows += packer.compress(row * (height % 1000)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


SVG = b"""<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>"""
GIF = bytes.fromhex("47494638396101000100800000000000ffffff2c00000000010001000002024401003b")

REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "no photo that can be taken"),
    "text named as a jpg": (lambda: b"It worked when I put it away.\n" * 50, "no photo that can be taken"),
    "svg": (lambda: SVG, "no photo that can be taken"),
    "gif": (lambda: GIF, "no photo that can be taken"),
    "pdf": (lambda: b"%PDF-1.7\n" + bytes(500), "no photo that can be taken"),
    "postscript": (
        lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
        "no photo that can be taken",
    ),
    "first bytes of a jpeg": (lambda: jpeg()[:4], "no photo that can be taken|damaged"),
    "jpeg cut at half": (lambda: jpeg()[: len(jpeg()) // 2], "damaged or was cut short"),
    "jpeg without its end": (lambda: jpeg()[:-400], "damaged or was cut short"),
    "bomb of 900 million pixels": (lambda: png(30_000, 30_000), "more than 100 million pixels"),
    "bomb of 150 million pixels": (lambda: png(15_000, 10_000), "more than 100 million pixels"),
    "just over the limit": (lambda: png(10_000, 10_001), "more than 100 million pixels"),
    "too many bytes": (lambda: jpeg() + bytes(LARGEST_BYTES), "has 25 MB; at most 25 MB"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_whole_photo_is_refused_with_nothing_kept(store: Store, folder: Path, name: str) -> None:
    make, words = REFUSED[name]
    with pytest.raises(BadPhoto, match=words):
        store.put_photo(make())
    assert not (folder / "photos").exists()
    with store._read() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM photo").scalar() == 0


def test_the_bomb_is_as_small_to_send_as_a_real_one() -> None:
    assert len(png(30_000, 30_000)) < 150_000


def test_a_photo_right_at_the_limit_is_taken() -> None:
    assert picture(png(10_000, 10_000)).width_px == 2400


def test_a_bomb_is_refused_also_when_nobody_turns_the_warning_into_an_error() -> None:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with pytest.raises(BadPhoto, match="more than 100 million pixels"):
            picture(png(15_000, 10_000))


def test_a_text_chunk_that_unpacks_without_end_is_refused() -> None:
    data = b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9)
    chunk = struct.pack(">I", len(data)) + b"zTXt" + data + struct.pack(">I", zlib.crc32(b"zTXt" + data))
    whole = png(8, 8)
    with pytest.raises(BadPhoto, match="damaged"):
        picture(whole[:33] + chunk + whole[33:])


def samples() -> dict[str, bytes]:
    made = {"JPEG": jpeg()}
    for form in ("PNG", "WEBP", "AVIF"):
        out = io.BytesIO()
        block = Image.Exif()
        block[0x0112] = 6
        Image.effect_noise((48, 32), 60).convert("RGB").save(out, form, exif=block)
        made[form] = out.getvalue()
    if HEIC:
        made["HEIC"] = (DATA / "turned-with-place.heic").read_bytes()
    return made


# Pillow warns of a damaged EXIF block and goes on without it; so do we.
@pytest.mark.filterwarnings("ignore::UserWarning:PIL")
@pytest.mark.parametrize("form", sorted(samples()))
def test_a_photo_with_any_bytes_changed_is_taken_or_refused_but_nothing_else_happens(form: str) -> None:
    whole = samples()[form]
    dice = random.Random(7)
    refused = 0
    for _ in range(150):
        data = bytearray(whole)
        for _ in range(dice.choice([1, 2, 8, 40])):
            data[dice.randrange(len(data))] = dice.randrange(256)
        if dice.random() < 0.3:
            del data[dice.randrange(len(data)) :]
        try:
            picture(bytes(data))
        except BadPhoto:
            refused += 1
    assert refused > 20
