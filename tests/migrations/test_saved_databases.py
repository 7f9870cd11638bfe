"""A saved database of every release opens, is brought up to date, and has lost nothing."""

from __future__ import annotations

import gzip
import io
import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from powergood import __version__
from powergood.record import Draft
from powergood.record.model import Finding, Note, PartFrom, PreferenceSet, SetAside, TookMinutes
from powergood.store import Store, write_facts
from powergood.store.version import HEAD

SAVED = Path(__file__).parent / "saved"
RELEASES = sorted(path.name.removesuffix(".sqlite.gz") for path in SAVED.glob("*.sqlite.gz"))


def unpacked(release: str, folder: Path) -> Path:
    folder.mkdir()
    (folder / "workshop.sqlite").write_bytes(gzip.decompress((SAVED / f"{release}.sqlite.gz").read_bytes()))
    return folder


def without_new_fields(now: dict[str, Any], before: dict[str, Any]) -> dict[str, Any]:
    """Return a fact without the empty fields that its kind has gained since it was written."""
    body = {name: value for name, value in now["body"].items() if value or name in before["body"]}
    return {**now, "body": body}


def test_a_database_of_this_release_is_saved() -> None:
    assert __version__ in RELEASES, "run tests/migrations/make_saved.py and commit what it writes"


@pytest.mark.parametrize("release", RELEASES)
def test_a_saved_database_opens_with_every_fact_it_had_and_takes_new_ones(
    release: str, tmp_path: Path
) -> None:
    folder = unpacked(release, tmp_path / "w")
    with Store.open(folder) as store:
        out = io.StringIO()
        write_facts(store.facts(), out)
        before = (SAVED / f"{release}.jsonl").read_text(encoding="utf-8").splitlines()
        for line, now in zip(before, out.getvalue().splitlines(), strict=True):
            assert without_new_fields(json.loads(now), json.loads(line)) == json.loads(line)
        assert dict(store.settings()) == {"hour_costs": "15"}
        (added,) = store.append([Draft(Note("goes on"), "new")])
        assert added.number == len(out.getvalue().splitlines()) + 1
    connection = sqlite3.connect(folder / "workshop.sqlite")
    assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()


def test_a_workshop_of_the_first_release_keeps_its_findings_and_takes_marked_cells(tmp_path: Path) -> None:
    folder = unpacked("0.1.0", tmp_path / "w")
    with Store.open(folder) as store:
        (old,) = store.facts(kinds=[Finding])
        assert old.body == Finding("lamp", "no verdict", False, True, 2, "line 1\nline 2", ())
        marked = Finding("press-every-key", "line", cells=("Q", "W", "Ö", "1"))
        store.append([Draft(marked, "grid")])
        assert store.facts(kinds=[Finding])[-1].body == marked


def test_a_workshop_of_the_first_release_takes_what_came_with_learning(tmp_path: Path) -> None:
    folder = unpacked("0.1.0", tmp_path / "w")
    bodies = (
        TookMinutes(12.5, ("check:lamp", "opening:hatch")),
        PartFrom("disk/2", "a donor"),
        SetAside("fault:demo:disk.dead", "one odd winter"),
        PreferenceSet("worth", "80"),
    )
    with Store.open(folder) as store:
        store.append([Draft(body, f"new/{place}") for place, body in enumerate(bodies)])
        kept = store.facts(kinds=[type(body) for body in bodies])
        assert tuple(fact.body for fact in kept) == bodies
        assert store.last_number() == kept[-1].number
        store.keep_learned("d1", "[]")
        store.keep_learned("d1", "[1]")
        assert store.learned("d1") == "[]"
        assert store.learned("d2") == ""
