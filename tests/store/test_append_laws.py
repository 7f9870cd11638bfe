"""Laws of the book, tried on drafts nobody thought of."""

from __future__ import annotations

import io
import json
import shutil
import tempfile
import typing
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from pathlib import Path
from typing import Literal, get_args, get_origin

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from powergood.record import BODY_KINDS, Body, Draft, Fact
from powergood.record import model as m
from powergood.store import Store, write_facts
from powergood.store.tables import KINDS

TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20)
REFERRING = {m.TakenIn, m.JobOpened, m.Withdrawn, m.PhotoTaken}


def value_for(name: str, hint: object) -> st.SearchStrategy[object]:
    if get_origin(hint) is Literal:
        return st.sampled_from(get_args(hint))
    if get_origin(hint) is tuple:
        return st.lists(TEXT, max_size=3).map(tuple)
    low = 0 if name in {"power_up", "job"} else -(2**63) + 1
    return {
        str: TEXT,
        bool: st.booleans(),
        int: st.integers(low, 2**63 - 1),
        float: st.floats(allow_nan=False, allow_infinity=False),
    }[typing.cast(type, hint)]


def bodies(kind: type[Body]) -> st.SearchStrategy[Body]:
    hints = typing.get_type_hints(kind)
    return st.builds(kind, **{item.name: value_for(item.name, hints[item.name]) for item in fields(kind)})


BODIES = st.one_of([bodies(kind) for kind in BODY_KINDS if kind not in REFERRING])
DRAFTS = st.lists(
    st.builds(
        Draft,
        body=BODIES,
        key=TEXT.filter(bool),
        machines=st.sampled_from([(), ("A",), ("A", "B"), ("B", "A")]),
        who=TEXT,
        seen_at=st.sampled_from(["", "2026-11-25T09:30:00Z"]),
        power_up=st.integers(0, 2**63 - 1),
        fitted=st.lists(TEXT, max_size=3).map(tuple),
        prompted_by=TEXT,
        digest=TEXT,
    ),
    max_size=6,
    unique_by=lambda draft: draft.key,
)


@contextmanager
def fresh(template: Path) -> Iterator[Store]:
    with tempfile.TemporaryDirectory() as folder:
        workshop = shutil.copytree(template, Path(folder) / "w")
        with Store.open(workshop) as store:
            store.append([Draft(m.TakenIn(tag, tag, "s"), f"take\t{tag}\t") for tag in "AB"])
            yield store


few = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@few
@given(DRAFTS)
def test_facts_come_back_as_they_went_in_and_a_resend_changes_nothing(
    template: Path, drafts: list[Draft]
) -> None:
    with fresh(template) as store:
        facts = store.append(drafts)
        assert [fact.draft for fact in facts] == [
            replace(draft, seen_at=draft.seen_at or fact.written_at)
            for draft, fact in zip(drafts, facts, strict=True)
        ]
        book = store.facts()
        assert store.append(drafts) == facts
        assert store.append(drafts[::-1]) == facts[::-1]
        assert store.facts() == book
        assert [fact.number for fact in book] == list(range(1, len(book) + 1))


@few
@given(DRAFTS, st.integers(0, 6))
def test_two_batches_make_the_same_book_as_one(template: Path, drafts: list[Draft], cut: int) -> None:
    with fresh(template) as whole, fresh(template) as parts:
        together = whole.append(drafts)
        apart = parts.append(drafts[:cut]) + parts.append(drafts[cut:])
        assert [fact.body for fact in together] == [fact.body for fact in apart]


def fact_from(line: str) -> Fact:
    """Read a line of an export without any code of ours but the dataclasses."""
    found = json.loads(line)
    kind = KINDS[found["kind"]]
    body = kind(**{n: tuple(v) if isinstance(v, list) else v for n, v in found["body"].items()})
    names = {item.name for item in fields(Draft)} - {"body"}
    envelope = {n: tuple(v) if isinstance(v, list) else v for n, v in found.items() if n in names}
    return Fact(found["number"], found["written_at"], Draft(body=body, **envelope))


@few
@given(DRAFTS)
def test_the_export_loses_nothing(template: Path, drafts: list[Draft]) -> None:
    with fresh(template) as store:
        store.append(drafts)
        out = io.StringIO()
        count = write_facts(store.facts(), out)
        lines = out.getvalue().removesuffix("\n").split("\n")
        assert count == len(lines)
        assert tuple(fact_from(line) for line in lines) == store.facts()
