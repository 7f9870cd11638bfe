"""Which structure a database has, told without loading the migration library."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from powergood.errors import NewerWorkshop, WorkshopError
from powergood.store.engine import APPLICATION_ID

REVISIONS: tuple[str, ...] = ("0001", "0002", "0003")
"""All revisions this program knows, oldest first; a test holds them against the migrations."""

HEAD = REVISIONS[-1]

FORMAT = 1
"""The structure as a whole number, raised when an older program could not read what is written."""


def revision_of(database: Path) -> str:
    """Return the revision of a workshop's database.

    Raises
    ------
    WorkshopError : the file is not a workshop's database.
    NewerWorkshop : it was written by a newer version of the program.
    """
    connection = sqlite3.connect(database, isolation_level=None)
    try:
        revision, structure = _read(connection)
    except sqlite3.OperationalError as error:
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
        if code & 0xFF != sqlite3.SQLITE_ERROR:
            raise
        raise not_a_workshop(database.parent) from error
    finally:
        connection.close()
    if revision not in REVISIONS or structure > FORMAT:
        raise NewerWorkshop(
            f"The workshop in {database.parent} was written by a newer version of this program "
            f"(structure {revision}, format {structure}; this one knows {HEAD}, format {FORMAT}). "
            "Nothing was changed. Install the newer version here, or restore a backup made with this one."
        )
    return revision


def not_a_workshop(folder: Path) -> WorkshopError:
    """Return the error for a folder that holds no workshop."""
    return WorkshopError(
        f"The folder {folder} is not a workshop. Give the folder of a workshop, "
        "or make a new one in an empty folder."
    )


def _read(connection: sqlite3.Connection) -> tuple[str, int]:
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise sqlite3.OperationalError("no workshop's mark")
    revision = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    structure = connection.execute("SELECT value FROM meta WHERE name = 'format'").fetchone()
    return (revision or [""])[0], _whole_number((structure or [""])[0])


def _whole_number(text: object) -> int:
    if not str(text).isdecimal():
        raise sqlite3.OperationalError("no format")
    return int(str(text))
