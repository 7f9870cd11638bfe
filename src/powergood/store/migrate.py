"""Bringing a database to the structure this program knows, whole or not at all."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine

from powergood.errors import WorkshopError
from powergood.store.durable import put_in_place, sync_file
from powergood.store.engine import writing
from powergood.store.layout import COPIES_NAME

MIGRATIONS = Path(__file__).parent / "migrations"


def migrate(engine: Engine, scripts: Path = MIGRATIONS, target: str = "head") -> None:
    """Run the migrations that are missing, all in one transaction.

    Foreign keys are off meanwhile, since rebuilding a table that others refer to would delete their
    rows (`PRAGMA foreign_keys` is ignored inside a transaction, so it is set before one begins); that
    every reference still holds is checked before the transaction ends.
    """
    with writing(engine).connect() as connection:
        _foreign_keys(connection, on=False)
        try:
            with connection.begin():
                command.upgrade(configuration(connection, scripts), target)
                _check_references(connection)
                _check_numbering(connection)
        finally:
            _foreign_keys(connection, on=True)


def configuration(connection: Connection, scripts: Path = MIGRATIONS) -> Config:
    """Return Alembic's configuration for `connection`; there is no file to read it from."""
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def copy_before_migration(database: Path, revision: str, moment: datetime) -> Path:
    """Write a whole copy of `database` beside it, to go back to; return where it is."""
    folder = database.parent / COPIES_NAME
    folder.mkdir(exist_ok=True)
    stamp = moment.strftime("%Y%m%dT%H%M%S")
    copy = _unused(folder / f"{database.stem}-{revision}-{stamp}{database.suffix}")
    part = copy.with_suffix(".tmp")
    part.unlink(missing_ok=True)
    connection = sqlite3.connect(database, isolation_level=None)
    try:
        connection.execute("VACUUM INTO ?", (str(part),))
    finally:
        connection.close()
    sync_file(part)
    put_in_place(part, copy)
    return copy


def _unused(path: Path) -> Path:
    count, candidate = 1, path
    while candidate.exists():
        count += 1
        candidate = path.with_stem(f"{path.stem}-{count}")
    return candidate


def _foreign_keys(connection: Connection, *, on: bool) -> None:
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    driver.execute(f"PRAGMA foreign_keys = {'ON' if on else 'OFF'}").close()


def _check_references(connection: Connection) -> None:
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if broken:
        tables = ", ".join(sorted({str(row[0]) for row in broken}))
        raise WorkshopError(
            f"Bringing the database up to date would break {len(broken)} references (in {tables}). "
            "Nothing was changed: the version you used before still opens it. Please report this."
        )


def _check_numbering(connection: Connection) -> None:
    # Rebuilding a table loses AUTOINCREMENT unless the migration names it again.
    sql = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE name = 'fact'").scalar()
    if "AUTOINCREMENT" not in str(sql):
        raise WorkshopError(
            "Bringing the database up to date would let fact numbers be used twice. Nothing was changed: "
            "the version you used before still opens it. Please report this."
        )
