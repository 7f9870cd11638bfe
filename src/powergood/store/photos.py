"""The photos of a workshop as files, named by the SHA-256 digest of what is in them."""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import Connection, select

from powergood.errors import UnknownThing
from powergood.store import tables as t
from powergood.store.durable import sweep, write_durably
from powergood.store.layout import PHOTOS_NAME
from powergood.store.picture import Picture, thumbnail

DIGEST = re.compile(r"[0-9a-f]{64}")


class PhotoFolder:
    """The folder of photos: `ab/ab12….jpg` and, beside it, the thumbnail `ab/ab12….webp`.

    Invariant: a row of the table `photo` is there only after both files are whole on the disk. A crash
    may leave a file without a row, never a row without its file.
    """

    def __init__(self, workshop: Path) -> None:
        self.folder = workshop / PHOTOS_NAME

    def keep(self, connection: Connection, photo: Picture, stored_at: str) -> str:
        """Write the photo's files, then its row; return its digest. Call while the write lock is held."""
        known = connection.scalar(select(t.photo.c.digest).where(t.photo.c.digest == photo.digest))
        full, small = self._path(photo.digest, ".jpg"), self._path(photo.digest, ".webp")
        if known is None or not full.exists():
            write_durably(small, photo.thumb)
            write_durably(full, photo.jpeg)
        if known is None:
            row = {"digest": photo.digest, "size": len(photo.jpeg), "stored_at": stored_at}
            connection.execute(
                t.photo.insert().values(**row, width_px=photo.width_px, height_px=photo.height_px)
            )
        return photo.digest

    def path(self, digest: str, *, thumb: bool) -> Path:
        """Return where a photo's JPEG is, or its thumbnail, which may have been deleted."""
        if not DIGEST.fullmatch(digest):
            raise UnknownThing("There is no such photo in this workshop.")
        full, small = self._path(digest, ".jpg"), self._path(digest, ".webp")
        if not full.is_file():
            raise UnknownThing(
                f"The photo {digest[:12]} is not in {self.folder}. If it was there, restore it from a backup."
            )
        return small if thumb else full

    def make_thumb(self, digest: str) -> None:
        """Make a photo's thumbnail again where it was deleted. Call while the write lock is held."""
        small = self.path(digest, thumb=True)
        if not small.is_file():
            write_durably(small, thumbnail(self.path(digest, thumb=False).read_bytes()))

    def sweep(self) -> int:
        """Delete what a crash left half written; return how many files. Call while the write lock is held."""
        return sweep(self.folder)

    def _path(self, digest: str, suffix: str) -> Path:
        return self.folder / digest[:2] / f"{digest}{suffix}"
