"""Looking a database over before it is trusted: is it whole, is it ours, is there nothing hidden in it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Connection, inspect

from powergood.store.tables import metadata


def integrity_troubles(database: Path) -> tuple[str, ...]:
    """Return what is wrong with a database that nobody writes to; nothing when it is whole.

    Looked at: SQLite's own check of every page and index, references between tables, and that there are
    only tables and indexes in it (a trigger or a view would be run by whoever opens the file).
    """
    path = "file:" + quote(str(database.resolve())) + "?mode=ro&immutable=1"
    connection = sqlite3.connect(path, uri=True, isolation_level=None)
    try:
        return tuple(_troubles(connection))
    except sqlite3.DatabaseError as error:
        return (str(error),)
    finally:
        connection.close()


def structure_troubles(connection: Connection) -> tuple[str, ...]:
    """Return which tables a database of the present structure lacks, whole or in part."""
    found = inspect(connection)
    names = set(found.get_table_names())
    return tuple(
        f"its table {table.name!r} is not as it should be"
        for table in metadata.sorted_tables
        if table.name not in names
        or {column["name"] for column in found.get_columns(table.name)} != set(table.columns.keys())
    )


def _troubles(connection: sqlite3.Connection) -> Iterator[str]:
    connection.execute("PRAGMA trusted_schema = OFF").close()
    odd = "SELECT type, name FROM sqlite_master WHERE type NOT IN ('table', 'index') OR sql LIKE '%VIRTUAL%'"
    found = [f"it holds a {kind} named {name!r}" for kind, name in connection.execute(odd)]
    yield from found
    if found:
        return
    yield from (str(row[0]) for row in connection.execute("PRAGMA integrity_check(5)") if row[0] != "ok")
    broken = connection.execute("PRAGMA foreign_key_check").fetchall()
    if broken:
        yield f"{len(broken)} references lead nowhere (in {', '.join(sorted({row[0] for row in broken}))})"
