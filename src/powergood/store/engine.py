"""The connection to a workshop's database: how SQLite is set, and how its transactions begin."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL
from sqlalchemy.pool import NullPool

APPLICATION_ID = 0x70676F64
"""Marks the file as ours (the letters "pgod"), so that no other SQLite file is taken for a workshop."""

BUSY_MS = 10_000


def make_engine(database: Path) -> Engine:
    """Return an engine for `database` whose transactions read; see `writing` for one that writes."""
    engine = create_engine(URL.create("sqlite", database=str(database)))
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def reading(database: Path) -> Engine:
    """Return an engine for a database that nobody writes to, such as a copy; the file stays as it is."""
    path = "file:" + quote(str(database.resolve()))
    query = {"mode": "ro", "immutable": "1", "uri": "true"}
    return create_engine(URL.create("sqlite", database=path, query=query), poolclass=NullPool)


def writing(engine: Engine) -> Engine:
    """Return the same engine with transactions that take SQLite's write lock when they begin.

    A transaction that reads first and writes later fails at once when another has written in between,
    however long it would wait (SQLITE_BUSY_SNAPSHOT, sqlite.org/isolation.html); `BEGIN IMMEDIATE` does not.
    """
    return engine.execution_options(writes=True)


def _prepare(connection: sqlite3.Connection, _record: object) -> None:
    # The driver must not begin transactions of its own: it leaves DDL outside of them.
    connection.isolation_level = None
    for pragma in (
        f"busy_timeout = {BUSY_MS}",
        "journal_mode = WAL",
        "synchronous = FULL",
        "fullfsync = ON",
        "foreign_keys = ON",
        "trusted_schema = OFF",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
