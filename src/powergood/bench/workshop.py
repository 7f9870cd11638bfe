"""The workshop: one collection's book and photos, with what is known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf
from pathlib import Path
from uuid import uuid4

from powergood.bench.library import NOTHING, Kept, Library
from powergood.diagnosis import Advice, Taken
from powergood.estimate import Learned
from powergood.store import Store

Clock = Callable[[], datetime]
KeyMaker = Callable[[], str]


def utc_now() -> datetime:
    """Return the present moment in UTC."""
    return datetime.now(UTC)


def random_key() -> str:
    """Return a key that no other form carries."""
    return uuid4().hex


@dataclass(frozen=True, slots=True)
class Advised:
    """Advice, or a sentence that says why there is none."""

    advice: Advice | None = None
    trouble: str = ""


class Workshop:
    """A workshop that is open: the store, the library, and who makes the keys of forms.

    Advice and belief are pure functions of what they are worked out from; kept by that they are never stale.
    """

    def __init__(self, store: Store, library: Library, *, new_key: KeyMaker = random_key) -> None:
        self.store = store
        self.library = library
        self.new_key = new_key
        self.advised: Kept[Advised] = Kept(64)
        self.bounds: Kept[float] = Kept(256)
        self.believed: Kept[Mapping[str, float]] = Kept(2048)
        self.lessons: Kept[Taken] = Kept(4096)
        self.learned: Kept[Learned] = Kept(64)

    @classmethod
    def create(cls, folder: Path, *, library: Library | None = None, clock: Clock = utc_now) -> Workshop:
        """Make a new workshop in an empty or missing folder and open it.

        Raises
        ------
        WorkshopError : the folder cannot be written, or holds a workshop already.
        """
        return cls(Store.create(folder, clock=clock), library or Library.found(folder))

    @classmethod
    def open(cls, folder: Path, *, library: Library | None = None, clock: Clock = utc_now) -> Workshop:
        """Open the workshop in `folder`, bringing its database up to this version.

        Raises
        ------
        WorkshopError : there is no workshop there, or it cannot be used.
        NewerWorkshop : a newer version wrote it.
        """
        return cls(Store.open(folder, clock=clock), library or Library.found(folder))

    def close(self) -> None:
        """Close the database."""
        self.store.close()

    def learned_as(self, digest: str) -> Learned:
        """Return the learned numbers kept under a digest; nothing for the empty digest or an unknown one."""
        text = self.store.learned(digest) if digest else ""
        return self.learned.get(digest, lambda: Learned.of_text(text)) if text else NOTHING


def number(text: str) -> float | None:
    """Return a text as a number above nought; none when it is not one."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if 0.0 < value < inf else None
