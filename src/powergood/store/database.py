"""A workshop's database file, made new or brought up to date.

Alembic takes a quarter of a second to load, and opening a workshop that is up to date needs none of it: it is
loaded here when it is called for.
"""

from __future__ import annotations

import sqlite3
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine

from powergood.errors import WorkshopError
from powergood.store import tables as t
from powergood.store.admit import iso_utc
from powergood.store.durable import put_in_place
from powergood.store.engine import APPLICATION_ID, make_engine, writing
from powergood.store.layout import DATABASE_NAME, refuse_unless_free
from powergood.store.version import FORMAT


def make_database(folder: Path, moment: datetime) -> None:
    """Make the database of a new workshop in `folder`, there whole or not at all."""
    from powergood.store.migrate import migrate

    database, part = folder / DATABASE_NAME, folder / f"{DATABASE_NAME}.tmp"
    refuse_unless_free(folder)
    for stray in (part, part.with_name(part.name + "-wal"), part.with_name(part.name + "-shm")):
        stray.unlink(missing_ok=True)
    engine = make_engine(part)
    try:
        migrate(engine)
        with writing(engine).begin() as connection:
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(t.meta.insert().values(name="format", value=str(FORMAT)))
            connection.execute(t.meta.insert().values(name="created_at", value=iso_utc(moment)))
    finally:
        engine.dispose()
    put_in_place(part, database)


def bring_up_to_date(database: Path, engine: Engine, revision: str, moment: datetime) -> None:
    """Copy a database of an older structure, then migrate it; where that fails, `engine` is let go."""
    from powergood.store.migrate import copy_before_migration, migrate

    copy_before_migration(database, revision, moment)
    try:
        migrate(engine)
    except (sqlite3.Error, WorkshopError):
        engine.dispose()
        raise
