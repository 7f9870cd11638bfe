"""Photos are kept upright, small, by what is in them, and with nothing of where they were taken."""

from __future__ import annotations

import hashlib
import io
import sqlite3
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest
from PIL import Image, ImageCms

from powergood.errors import UnknownThing
from powergood.record import Draft
from powergood.record.model import PhotoTaken
from powergood.store import Store
from powergood.store.picture import FORMATS, HEIC, picture

DATA = Path(__file__).parent / "data"
RED, LIME, BLUE, WHITE = (255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255)

# How the corners come to stand (top left, top right, bottom left, bottom right) when an image whose corners
# are red, lime, blue, white is shown as EXIF orientation 1 to 8 says: CIPA DC-008 (Exif 2.32) §4.6.4.
UPRIGHT = {
    1: (RED, LIME, BLUE, WHITE),
    2: (LIME, RED, WHITE, BLUE),
    3: (WHITE, BLUE, LIME, RED),
    4: (BLUE, WHITE, RED, LIME),
    5: (RED, BLUE, LIME, WHITE),
    6: (BLUE, RED, WHITE, LIME),
    7: (WHITE, LIME, BLUE, RED),
    8: (LIME, WHITE, RED, BLUE),
}


def quarters(width: int = 640, height: int = 480) -> Image.Image:
    image = Image.new("RGB", (width, height))
    middle, centre = width // 2, height // 2
    image.paste(RED, (0, 0, middle, centre))
    image.paste(LIME, (middle, 0, width, centre))
    image.paste(BLUE, (0, centre, middle, height))
    image.paste(WHITE, (middle, centre, width, height))
    return image


def encoded(image: Image.Image, form: str = "JPEG", **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **options)
    return out.getvalue()


def exif(orientation: int = 1) -> Image.Exif:
    block = Image.Exif()
    block[0x0112] = orientation
    block[0x010F] = "Harbour Camera"
    block.get_ifd(0x8825).update({1: "N", 2: (54.0, 30.0, 0.0), 3: "E", 4: (12.0, 15.0, 0.0)})
    return block


def opened(data: bytes) -> Image.Image:
    with Image.open(io.BytesIO(data)) as image:
        image.load()
        return image


def corners(image: Image.Image) -> list[object]:
    right, bottom = image.width - 9, image.height - 9
    return [image.convert("RGB").getpixel(at) for at in ((8, 8), (right, 8), (8, bottom), (right, bottom))]


def close_to(found: Iterable[object], wanted: Iterable[tuple[int, ...]]) -> bool:
    pairs = zip(found, wanted, strict=True)
    return all(abs(a - b) <= 8 for f, w in pairs for a, b in zip(f, w, strict=True))  # type: ignore[call-overload]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_is_kept_as_it_is_to_be_looked_at(orientation: int) -> None:
    kept = opened(picture(encoded(quarters(), exif=exif(orientation), quality=95)).jpeg)
    assert kept.size == ((640, 480) if orientation <= 4 else (480, 640))
    assert close_to(corners(kept), UPRIGHT[orientation])


def test_where_and_with_what_a_photo_was_taken_is_gone() -> None:
    packet = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">Harbour Camera</x:xmpmeta>'
    sent = encoded(quarters(), exif=exif(), comment=b"Harbour Camera", xmp=packet)
    assert opened(sent).getexif().get_ifd(0x8825)
    photo = picture(sent)
    for data in (photo.jpeg, photo.thumb):
        kept = opened(data)
        assert not kept.getexif()
        assert {"exif", "xmp", "comment", "icc_profile", "photoshop"}.isdisjoint(kept.info)
        assert b"Harbour" not in data
        assert b"Exif" not in data


def test_where_a_png_and_a_webp_were_made_is_gone_too() -> None:
    from PIL.PngImagePlugin import PngInfo

    words = PngInfo()
    words.add_text("Comment", "Harbour Camera")
    for sent in (
        encoded(quarters(), "PNG", pnginfo=words, exif=exif()),
        encoded(quarters(), "WEBP", exif=exif(), xmp=b"Harbour Camera"),
    ):
        photo = picture(sent)
        assert b"Harbour" in sent
        assert b"Harbour" not in photo.jpeg + photo.thumb


def test_a_large_photo_is_made_smaller_and_keeps_its_shape() -> None:
    photo = picture(encoded(quarters(4000, 3000)))
    assert opened(photo.jpeg).size == (photo.width_px, photo.height_px) == (2400, 1800)
    assert opened(photo.thumb).size == (320, 240)
    assert opened(photo.thumb).format == "WEBP"
    assert opened(photo.jpeg).info["progressive"]


def test_a_small_photo_is_not_made_larger() -> None:
    photo = picture(encoded(quarters(200, 100)))
    assert opened(photo.jpeg).size == opened(photo.thumb).size == (200, 100)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "AVIF", "MPO"])
def test_each_kind_a_phone_sends_is_taken(form: str) -> None:
    more = {"save_all": True, "append_images": [quarters().rotate(180)]} if form == "MPO" else {}
    kept = opened(picture(encoded(quarters(), form, quality=95, **more)).jpeg)
    assert kept.format == "JPEG"
    assert close_to(corners(kept), UPRIGHT[1])


def test_a_photo_in_heic_is_taken_turned_right_and_its_place_forgotten() -> None:
    if not HEIC:
        pytest.skip("HEIC WAS NOT TRIED: pi-heif has no wheel for this computer")
    sent = (DATA / "turned-with-place.heic").read_bytes()
    assert b"Harbour Camera" in sent
    photo = picture(sent)
    kept = opened(photo.jpeg)
    assert kept.size == (480, 640)
    assert close_to(corners(kept), UPRIGHT[6])
    assert b"Harbour" not in photo.jpeg + photo.thumb


def test_heic_can_be_read_wherever_its_reader_can_be_installed() -> None:
    assert ("HEIF" in FORMATS) == HEIC
    if sys.platform != "win32":
        assert HEIC


@pytest.mark.parametrize(
    "image",
    [
        quarters().convert("L"),
        quarters().convert("P"),
        quarters().convert("1"),
        quarters().convert("RGBA"),
        quarters().convert("LA"),
        quarters().convert("L").convert("I;16"),
        Image.new("RGB", (1, 1)),
        Image.new("RGB", (5000, 1)),
    ],
    ids=lambda image: f"{image.mode}-{image.width}x{image.height}",
)
def test_images_of_any_make_up_are_taken(image: Image.Image) -> None:
    assert opened(picture(encoded(image, "PNG")).jpeg).mode == "RGB"


def test_what_is_see_through_is_kept_on_white() -> None:
    clear = Image.new("RGBA", (64, 64), (255, 0, 0, 0))
    assert close_to(corners(opened(picture(encoded(clear, "PNG")).jpeg)), [WHITE] * 4)


def test_a_print_in_four_inks_is_taken() -> None:
    kept = opened(picture(encoded(quarters().convert("CMYK"), "JPEG", quality=95)).jpeg)
    assert close_to(corners(kept), UPRIGHT[1])


def test_colours_are_kept_as_they_look_where_a_photo_brings_a_profile_of_its_own() -> None:
    # The middle grey of a linear-light profile is code value 55 of 255; in sRGB it is 128 (IEC 61966-2-1:
    # ((128/255 + 0.055)/1.055)^2.4 = 0.2159, times 255 = 55.0).
    profile = linear_gray_profile()
    kept = opened(picture(encoded(Image.new("RGB", (64, 64), (55, 55, 55)), "PNG", icc_profile=profile)).jpeg)
    assert close_to(corners(kept), [(128, 128, 128)] * 4)


def linear_gray_profile() -> bytes:
    """Return an RGB profile with sRGB's primaries and a straight curve: sRGB's own, its curves replaced."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = int.from_bytes(data[128:132], "big")
    for place in range(count):
        entry = 132 + 12 * place
        if data[entry : entry + 4] in (b"rTRC", b"gTRC", b"bTRC"):
            start = int.from_bytes(data[entry + 4 : entry + 8], "big")
            # ICC.1:2022 §10.6: a curveType with no entries is the identity.
            data[start : start + 12] = b"curv" + bytes(8)
    return bytes(data)


def test_a_profile_that_cannot_be_read_is_left_out() -> None:
    sent = encoded(quarters(), "JPEG", icc_profile=b"nonsense" * 20, quality=95)
    assert close_to(corners(opened(picture(sent).jpeg)), UPRIGHT[1])


def test_a_photo_is_named_by_what_is_in_it_and_lies_under_the_first_two_letters(
    store: Store, folder: Path
) -> None:
    digest = store.put_photo(encoded(quarters()))
    path = store.photo_path(digest)
    assert path == folder / "photos" / digest[:2] / f"{digest}.jpg"
    assert hashlib.sha256(path.read_bytes()).hexdigest() == digest
    assert store.photo_path(digest, True) == path.with_suffix(".webp")
    assert opened(store.photo_path(digest, True).read_bytes()).size == (320, 240)


def test_the_same_photo_again_adds_nothing(store: Store, folder: Path) -> None:
    first = store.put_photo(encoded(quarters(), exif=exif()))
    assert store.put_photo(encoded(quarters(), exif=exif())) == first
    connection = sqlite3.connect(folder / "workshop.sqlite")
    rows = connection.execute("SELECT digest, size, width_px, height_px, stored_at FROM photo").fetchall()
    connection.close()
    size = store.photo_path(first).stat().st_size
    assert rows == [(first, size, 640, 480, "2026-11-25T09:30:00Z")]


def test_a_photo_whose_file_was_lost_is_whole_again_when_it_is_sent_again(store: Store) -> None:
    digest = store.put_photo(encoded(quarters()))
    store.photo_path(digest).unlink()
    with pytest.raises(UnknownThing, match="restore it from a backup"):
        store.photo_path(digest)
    assert store.put_photo(encoded(quarters())) == digest
    assert store.photo_path(digest).is_file()


def test_a_thumbnail_that_was_deleted_is_made_again(store: Store) -> None:
    digest = store.put_photo(encoded(quarters()))
    before = store.photo_path(digest, True).read_bytes()
    store.photo_path(digest, True).unlink()
    assert opened(store.photo_path(digest, True).read_bytes()).size == opened(before).size


@pytest.mark.parametrize(
    "name", ["", "..", "../../etc/passwd", "A" * 64, "a" * 63, "a" * 65, "a" * 64 + "\n"]
)
def test_a_name_that_is_no_digest_leads_nowhere(store: Store, name: str) -> None:
    with pytest.raises(UnknownThing, match="no such photo"):
        store.photo_path(name)


def test_a_fact_can_name_a_stored_photo(store: Store) -> None:
    digest = store.put_photo(encoded(quarters()))
    (fact,) = store.append([Draft(PhotoTaken(digest, "as it came"), "k")])
    assert store.facts() == (fact,)


def test_what_a_crash_left_half_written_is_swept_up_when_the_workshop_is_opened(
    store: Store, folder: Path, reopened: Callable[[], Store]
) -> None:
    digest = store.put_photo(encoded(quarters()))
    stray = store.photo_path(digest).with_name("half.jpg.tmp")
    stray.write_bytes(b"half")
    with reopened() as again:
        assert not stray.exists()
        assert again.photo_path(digest).is_file()
