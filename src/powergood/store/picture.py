"""A photo as it arrives, made into the two files that are kept: upright, small, and saying nothing else.

Both files are encoded anew, so that where and with what a photo was taken (EXIF, GPS, XMP, comments)
is gone from them.
"""

from __future__ import annotations

import hashlib
import io
import struct
import threading
import warnings
import zlib
from dataclasses import dataclass

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from powergood.errors import BadPhoto

try:
    import pi_heif  # type: ignore[import-untyped]  # it ships no types
except ImportError:  # no wheel for Windows on ARM: photos in HEIC are refused there, with the reason
    HEIC = False
else:
    pi_heif.register_heif_opener()
    HEIC = True

LARGEST_PX = 100_000_000
"""Pixels a photo may have (judgement: phones take up to 50 or so; 100 of them need 300 MB to open)."""

LARGEST_BYTES = 25_000_000
"""Bytes a photo may have (judgement: a phone's photo has 2 to 12 MB)."""

LONG_SIDE_PX = 2400
THUMB_SIDE_PX = 320
QUALITY = 85
FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", *(("HEIF",) if HEIC else ()))

Image.init()  # fills the table of formats, without which an allow-list is a KeyError
Image.MAX_IMAGE_PIXELS = LARGEST_PX
# Up to twice the limit Pillow only warns. Set for the whole process, since filters are not per thread.
warnings.simplefilter("error", Image.DecompressionBombWarning)

_BROKEN = (
    OSError, SyntaxError, ValueError, EOFError, IndexError, KeyError, TypeError, AttributeError,
    OverflowError, RuntimeError, NotImplementedError, struct.error, zlib.error,
)  # fmt: skip
"""What decoders raise on a file that is not as it should be."""

_one_at_a_time = threading.Lock()


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo ready to be kept: a JPEG, a WebP thumbnail, the SHA-256 digest of the JPEG, and its size."""

    jpeg: bytes
    thumb: bytes
    digest: str
    width_px: int
    height_px: int


def picture(data: bytes) -> Picture:
    """Return the photo in `data`, upright and at most 2400 px long; one photo is opened at a time.

    Raises
    ------
    BadPhoto : no photo, a kind that is not taken, damaged, or too large to open safely.
    """
    if len(data) > LARGEST_BYTES:
        raise BadPhoto(
            f"The photo has {len(data) / 1e6:.0f} MB; at most {LARGEST_BYTES / 1e6:.0f} MB can be taken. "
            "Send a smaller one."
        )
    with _one_at_a_time:
        image = _upright(data)
        image.thumbnail((LONG_SIDE_PX, LONG_SIDE_PX), Image.Resampling.LANCZOS)
        jpeg = _encoded(image, "JPEG", quality=QUALITY, progressive=True, optimize=True)
        width, height = image.size
        thumb = _small(image)
    return Picture(jpeg, thumb, hashlib.sha256(jpeg).hexdigest(), width, height)


def thumbnail(jpeg: bytes) -> bytes:
    """Return the WebP thumbnail of a stored photo."""
    with _one_at_a_time:
        return _small(_upright(jpeg))


def _upright(data: bytes) -> Image.Image:
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
            if opened.width * opened.height > LARGEST_PX:
                raise _too_large()
            opened.load()
            return _plain_rgb(ImageOps.exif_transpose(opened))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise _too_large() from error
    except UnidentifiedImageError as error:
        raise BadPhoto(_unknown_kind(data)) from error
    except MemoryError as error:
        raise _too_large() from error
    except _BROKEN as error:
        raise BadPhoto(
            "The photo is damaged or was cut short, so nothing of it was kept. Send it again."
        ) from error


def _plain_rgb(image: Image.Image) -> Image.Image:
    """Return the image in sRGB on white, with nothing attached to it."""
    profile = image.info.get("icc_profile")
    if image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info:
        image = image.convert("RGBA")
        paper = Image.new("RGBA", image.size, "white")
        image = Image.alpha_composite(paper, image)
    elif image.mode not in {"RGB", "CMYK"}:
        profile = None
    if profile:
        image = _in_srgb(image.convert("RGB") if image.mode == "RGBA" else image, profile)
    image = image.convert("RGB")
    image.info = {}
    return image


def _in_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    try:
        given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(image, given, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):  # a colour profile that cannot be read is left out
        return image
    return turned or image


def _small(image: Image.Image) -> bytes:
    small = image.copy()
    small.thumbnail((THUMB_SIDE_PX, THUMB_SIDE_PX), Image.Resampling.LANCZOS)
    return _encoded(small, "WEBP", quality=80, method=4)


def _encoded(image: Image.Image, form: str, **options: int | bool) -> bytes:
    out = io.BytesIO()
    image.save(out, form, **options)
    return out.getvalue()


def _too_large() -> BadPhoto:
    return BadPhoto(
        f"The photo has more than {LARGEST_PX // 1_000_000} million pixels and was not opened. "
        "Send a smaller one."
    )


def _unknown_kind(data: bytes) -> str:
    if not HEIC and data[4:8] == b"ftyp":
        return "Photos in HEIC cannot be read on this computer. Set the phone to JPEG, or send a JPEG."
    return "The file is no photo that can be taken. Send a JPEG, HEIC, PNG, WebP or AVIF file."
