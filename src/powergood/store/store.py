"""The store of one workshop: its folder, its database and its photos, opened, written and read."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import Self

from sqlalchemy import ColumnElement, Connection, Engine, func, select

from powergood.errors import WorkshopError
from powergood.record.model import Body, Draft, Fact, TakenIn
from powergood.store import tables as t
from powergood.store.admit import admitted, iso_utc
from powergood.store.append import append_drafts, next_free_tag, tags_in_use
from powergood.store.bodies import read_facts
from powergood.store.database import bring_up_to_date, make_database
from powergood.store.engine import make_engine, writing
from powergood.store.layout import DATABASE_NAME, refuse_unless_free
from powergood.store.lock import WriteLock
from powergood.store.photos import PhotoFolder
from powergood.store.picture import picture
from powergood.store.trouble import in_plain_words
from powergood.store.version import HEAD, not_a_workshop, revision_of

Clock = Callable[[], datetime]
"""Gives the present moment with its time zone."""


def utc_now() -> datetime:
    """Return the present moment in UTC."""
    return datetime.now(UTC)


class Store:
    """The facts, photos and settings of one workshop folder.

    Made by `create` or `open`; may be used by many threads at once. What `append`, `put_photo` and
    `set_setting` have returned from is on the disk and survives a kill or a power cut.
    """

    def __init__(self, folder: Path, engine: Engine, lock: WriteLock, clock: Clock) -> None:
        self.folder = folder
        self.clock = clock
        self._engine = engine
        self._writer = writing(engine)
        self._lock = lock
        self._closed = False
        self._photos = PhotoFolder(folder)

    @classmethod
    def create(cls, folder: Path, *, clock: Clock = utc_now, patience_s: float = 10.0) -> Self:
        """Make a new workshop in `folder`, which must be empty or not there yet, and open it."""
        folder = Path(folder)
        with in_plain_words(folder):
            refuse_unless_free(folder)
            folder.mkdir(parents=True, exist_ok=True)
            lock = WriteLock(folder, patience_s)
            with lock.held():
                make_database(folder, clock())
        return cls.open(folder, clock=clock, patience_s=patience_s)

    @classmethod
    def open(cls, folder: Path, *, clock: Clock = utc_now, patience_s: float = 10.0) -> Self:
        """Open the workshop in `folder`; bring its database up to date, after copying it, where it is older.

        Raises
        ------
        WorkshopError : there is no such folder, it is no workshop, may not be written to, or is in use.
        NewerWorkshop : it was written by a newer version of the program.
        """
        folder = Path(folder)
        database = folder / DATABASE_NAME
        if not folder.is_dir():
            raise WorkshopError(
                f"There is no folder {folder}. Look at the name, or make a new workshop there."
            )
        if not database.is_file():
            raise not_a_workshop(folder)
        lock = WriteLock(folder, patience_s)
        with in_plain_words(folder), lock.held():
            revision = revision_of(database)
            engine = make_engine(database)
            if revision != HEAD:
                bring_up_to_date(database, engine, revision, clock())
            PhotoFolder(folder).sweep()
        return cls(folder, engine, lock, clock)

    def close(self) -> None:
        """Let go of the database; what was stored is on the disk already. Closing twice does no harm."""
        if self._closed:
            return
        self._closed = True
        with in_plain_words(self.folder), self._lock.held():
            self._engine.dispose()

    def __enter__(self) -> Self:
        """Return the store, to be closed at the end of the block."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the store."""
        self.close()

    def append(self, drafts: Sequence[Draft]) -> tuple[Fact, ...]:
        """Add drafts to the book in one transaction and return the fact of each, in their order.

        All or nothing. A draft whose key is known adds nothing and gives the fact that is there, so a
        resend is harmless, also from two threads or two programs at once. Numbers for jobs and the
        machines of a fact are filled in as `append.append_drafts` says; an empty `seen_at` becomes the
        time of writing.

        Raises
        ------
        BadInput, UnknownThing : what cannot be kept, everything at once; nothing was added.
        DiskFull : nothing was added.
        """
        settled = admitted(drafts)
        if not settled:
            return ()
        with self._write() as connection:
            return append_drafts(connection, settled, iso_utc(self.clock()))

    def facts(self, *, job: int = 0, machine: str = "", kinds: Sequence[type[Body]] = ()) -> tuple[Fact, ...]:
        """Return the facts in order: all of them, or those of a job, a machine, some kinds, or all of these.

        Withdrawn facts are among them; `record.timeline` takes them out.
        """
        conditions: list[ColumnElement[bool]] = []
        if job:
            conditions.append(t.fact.c.job == job)
        if machine:
            about = select(t.fact_machine.c.fact).where(t.fact_machine.c.tag == machine)
            conditions.append(t.fact.c.number.in_(about))
        if kinds:
            conditions.append(t.fact.c.kind.in_([t.kind_name(kind) for kind in kinds]))
        with self._read() as connection:
            return read_facts(connection, *conditions)

    def jobs(self) -> Mapping[int, Fact]:
        """Return the fact that opened each job, by job number, in order."""
        with self._read() as connection:
            opened = read_facts(connection, t.fact.c.kind == "job_opened")
        return MappingProxyType({fact.draft.job: fact for fact in opened})

    def machines(self) -> Mapping[str, Fact]:
        """Return the fact that took each machine in, by tag, oldest first."""
        with self._read() as connection:
            taken_in = read_facts(connection, t.fact.c.kind == "taken_in")
        return MappingProxyType({fact.body.tag: fact for fact in taken_in if isinstance(fact.body, TakenIn)})

    def next_tag(self) -> str:
        """Return a free tag that follows the pattern of the newest one."""
        with self._read() as connection:
            return next_free_tag(tags_in_use(connection))

    def put_photo(self, data: bytes) -> str:
        """Keep a photo and return the digest to name it by; the same photo again gives the same digest.

        Raises
        ------
        BadPhoto : no photo, damaged, or too large to open safely; nothing was kept.
        DiskFull : nothing was kept.
        """
        photo = picture(data)
        with self._write() as connection:
            return self._photos.keep(connection, photo, iso_utc(self.clock()))

    def photo_path(self, digest: str, thumb: bool = False) -> Path:
        """Return the file of a photo (JPEG) or of its thumbnail (WebP, made again where it is missing).

        Raises UnknownThing where no such photo is stored.
        """
        with in_plain_words(self.folder):
            path = self._photos.path(digest, thumb=thumb)
            if not path.is_file():
                with self._lock.held():
                    self._photos.make_thumb(digest)
            return path

    def settings(self) -> Mapping[str, str]:
        """Return what the owner has set, by name."""
        with self._read() as connection:
            rows = connection.execute(select(t.setting.c.name, t.setting.c.value).order_by(t.setting.c.name))
            return MappingProxyType({row.name: row.value for row in rows})

    def set_setting(self, name: str, value: str) -> None:
        """Keep a setting; the last value counts."""
        with self._write() as connection:
            connection.execute(t.setting.delete().where(t.setting.c.name == name))
            connection.execute(t.setting.insert().values(name=name, value=value))

    def keep_learned(self, digest: str, numbers: str) -> None:
        """Keep learned numbers under their digest; the same digest again changes nothing."""
        with self._write() as connection:
            known = select(t.learned.c.digest).where(t.learned.c.digest == digest)
            if connection.scalar(known) is None:
                row = {"digest": digest, "numbers": numbers, "kept_at": iso_utc(self.clock())}
                connection.execute(t.learned.insert().values(row))

    def learned(self, digest: str) -> str:
        """Return the learned numbers kept under a digest; empty when there are none."""
        with self._read() as connection:
            return connection.scalar(select(t.learned.c.numbers).where(t.learned.c.digest == digest)) or ""

    def last_number(self, kinds: Sequence[type[Body]] = ()) -> int:
        """Return the number of the last fact, or of the last of some kinds; 0 where there is none."""
        query = select(func.max(t.fact.c.number))
        if kinds:
            query = query.where(t.fact.c.kind.in_([t.kind_name(kind) for kind in kinds]))
        with self._read() as connection:
            return connection.scalar(query) or 0

    def copy_database(self, target: Path) -> None:
        """Write a whole and compact copy of the database at `target`, also while others write."""
        connection = self._engine.raw_connection()
        try:
            driver = connection.driver_connection
            assert isinstance(driver, sqlite3.Connection)
            driver.execute("VACUUM INTO ?", (str(target),)).close()
        finally:
            connection.close()

    @contextmanager
    def _write(self) -> Iterator[Connection]:
        with in_plain_words(self.folder), self._lock.held(), self._writer.begin() as connection:
            yield connection

    @contextmanager
    def _read(self) -> Iterator[Connection]:
        with in_plain_words(self.folder), self._engine.begin() as connection:
            yield connection
