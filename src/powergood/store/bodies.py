"""Facts as rows and rows as facts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields

from sqlalchemy import ColumnElement, Connection, Select, select

from powergood.record.model import Body, Draft, Fact
from powergood.store import tables as t


def body_row(number: int, body: Body) -> dict[str, object]:
    """Return the row of a body in the table of its kind."""
    return {"number": number, **{item.name: getattr(body, item.name) for item in fields(body)}}


def body_from(kind: str, values: Mapping[str, object]) -> Body:
    """Return the body of that kind made from `values`, which may hold more than its fields."""
    cls = t.KINDS[kind]
    return cls(**{item.name: values[item.name] for item in fields(cls)})  # type: ignore[arg-type]  # by name


def envelope_row(draft: Draft, written_at: str) -> dict[str, object]:
    """Return the row of a draft in the table `fact`; the database gives its number."""
    return {
        "key": draft.key,
        "job": draft.job,
        "who": draft.who,
        "seen_at": draft.seen_at,
        "written_at": written_at,
        "power_up": draft.power_up,
        "prompted_by": draft.prompted_by,
        "digest": draft.digest,
        "kind": t.kind_name(type(draft.body)),
    }


def read_facts(connection: Connection, *conditions: ColumnElement[bool]) -> tuple[Fact, ...]:
    """Return the facts whose envelope meets all `conditions`, in order of their numbers."""
    chosen = select(t.fact.c.number).where(*conditions)
    rows = connection.execute(select(t.fact).where(*conditions).order_by(t.fact.c.number)).all()
    if not rows:
        return ()
    machines = _lists(connection, chosen, t.fact_machine.c.fact, t.fact_machine.c.tag, t.fact_machine.c.place)
    fitted = _lists(connection, chosen, t.fact_fitted.c.fact, t.fact_fitted.c.instance, t.fact_fitted.c.place)
    bodies = _bodies(connection, chosen, {row.kind for row in rows})
    return tuple(
        Fact(
            number=row.number,
            written_at=row.written_at,
            draft=Draft(
                body=bodies[row.number],
                key=row.key,
                machines=machines.get(row.number, ()),
                job=row.job,
                who=row.who,
                seen_at=row.seen_at,
                power_up=row.power_up,
                fitted=fitted.get(row.number, ()),
                prompted_by=row.prompted_by,
                digest=row.digest,
            ),
        )
        for row in rows
    )


def _lists(
    connection: Connection,
    chosen: Select[int],
    owner: ColumnElement[int],
    value: ColumnElement[str],
    place: ColumnElement[int],
) -> dict[int, tuple[str, ...]]:
    found: dict[int, list[str]] = {}
    for number, text in connection.execute(
        select(owner, value).where(owner.in_(chosen)).order_by(owner, place)
    ):
        found.setdefault(number, []).append(text)
    return {number: tuple(texts) for number, texts in found.items()}


def _bodies(connection: Connection, chosen: Select[int], kinds: Iterable[str]) -> dict[int, Body]:
    found: dict[int, Body] = {}
    for kind in sorted(kinds):
        table = t.BODY_TABLES[kind]
        for row in connection.execute(select(table).where(table.c.number.in_(chosen))).mappings():
            found[row["number"]] = body_from(kind, {str(name): value for name, value in row.items()})
    return found
