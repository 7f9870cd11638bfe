"""The tables of a workshop's database: one for the envelope of a fact, one for each kind of body.

The columns of a body table are the fields of its dataclass, so that any SQLite tool can read the book.
The database is made by the migrations; a test holds the two against each other.
"""

from __future__ import annotations

import json
import re
import types
from collections.abc import Mapping
from dataclasses import fields
from typing import Any, Literal, get_args, get_origin, get_type_hints

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator, TypeEngine

from powergood.record.model import BODY_KINDS, Body

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

metadata = MetaData(naming_convention=NAMING)


class Names(TypeDecorator[tuple[str, ...]]):
    """A tuple of names, kept as a JSON list in a text column."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: tuple[str, ...] | None, dialect: Dialect) -> str:
        """Return the names as a JSON list."""
        return json.dumps(list(value or ()), ensure_ascii=False)

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[str, ...]:
        """Return the names that a JSON list holds."""
        return tuple(json.loads(value or "[]"))


fact = Table(
    "fact",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("key", Text, nullable=False),
    Column("job", Integer, nullable=False, index=True),
    Column("who", Text, nullable=False),
    Column("seen_at", Text, nullable=False),
    Column("written_at", Text, nullable=False),
    Column("power_up", Integer, nullable=False),
    Column("prompted_by", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("kind", Text, nullable=False, index=True),
    UniqueConstraint("key"),
    CheckConstraint("job >= 0", name="job"),
    CheckConstraint("power_up >= 0", name="power_up"),
    sqlite_autoincrement=True,
)
"""The envelope of every fact. A number gives the order and is never used twice."""

fact_machine = Table(
    "fact_machine",
    metadata,
    Column("fact", Integer, ForeignKey("fact.number"), primary_key=True),
    Column("tag", Text, ForeignKey("taken_in.tag"), primary_key=True, index=True),
    Column("place", Integer, nullable=False),
)
"""The machines a fact is about; `place` keeps the order they were named in."""

fact_fitted = Table(
    "fact_fitted",
    metadata,
    Column("fact", Integer, ForeignKey("fact.number"), primary_key=True),
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("instance", Text, nullable=False),
)
"""The part instances fitted at a fact, where a page knew better than the record."""

photo = Table(
    "photo",
    metadata,
    Column("digest", Text, primary_key=True),
    Column("size", Integer, nullable=False),
    Column("width_px", Integer, nullable=False),
    Column("height_px", Integer, nullable=False),
    Column("stored_at", Text, nullable=False),
)
"""The photos whose files are whole on the disk; `size` is in bytes."""

setting = Table(
    "setting",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""What the owner has set."""

learned = Table(
    "learned",
    metadata,
    Column("digest", Text, primary_key=True),
    Column("numbers", Text, nullable=False),
    Column("kept_at", Text, nullable=False),
)
"""The learned numbers that jobs began with, as JSON under their digest, so that a job keeps them."""

meta = Table(
    "meta",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""What the database says of itself: `format`, a whole number for its structure."""


def kind_name(kind: type[Body]) -> str:
    """Return the name a body kind has in the database: `GateAnswered` is `gate_answered`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "_", kind.__name__).lower()


_REFERENCES = {("withdrawn", "fact"): "fact.number", ("photo_taken", "digest"): "photo.digest"}
_BEFORE = {("finding", "cells"): "[]"}
"""Columns that came later, with what they hold for facts written before."""

_COLUMN_TYPES: Mapping[object, TypeEngine[Any]] = {
    str: Text(),
    int: Integer(),
    bool: Boolean(),
    float: Float(),
    tuple: Names(),
}


def _column(table: str, name: str, hint: object) -> Column[Any]:
    origin = get_origin(hint)
    if origin is Literal:
        hint = type(get_args(hint)[0])
    elif isinstance(hint, types.GenericAlias):
        hint = origin
    target = _REFERENCES.get((table, name))
    keys = [ForeignKey(target)] if target else []
    before = _BEFORE.get((table, name))
    return Column(name, _COLUMN_TYPES[hint], *keys, nullable=False, server_default=before)


def _body_table(kind: type[Body]) -> Table:
    name, hints = kind_name(kind), get_type_hints(kind)
    return Table(
        name,
        metadata,
        Column("number", Integer, ForeignKey("fact.number"), primary_key=True, autoincrement=False),
        *(_column(name, item.name, hints[item.name]) for item in fields(kind)),
        *([UniqueConstraint("tag")] if name == "taken_in" else []),
    )


KINDS: Mapping[str, type[Body]] = {kind_name(kind): kind for kind in BODY_KINDS}
BODY_TABLES: Mapping[str, Table] = {name: _body_table(kind) for name, kind in KINDS.items()}
