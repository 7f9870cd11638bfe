"""A saved database of every release opens, is brought up to date, and has lost nothing."""

from __future__ import annotations

import gzip
import io
import sqlite3
from pathlib import Path

import pytest

from powergood import __version__
from powergood.record import Draft
from powergood.record.model import Note
from powergood.store import Store, write_facts
from powergood.store.version import HEAD

SAVED = Path(__file__).parent / "saved"
RELEASES = sorted(path.name.removesuffix(".sqlite.gz") for path in SAVED.glob("*.sqlite.gz"))


def unpacked(release: str, folder: Path) -> Path:
    folder.mkdir()
    (folder / "workshop.sqlite").write_bytes(gzip.decompress((SAVED / f"{release}.sqlite.gz").read_bytes()))
    return folder


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
        assert out.getvalue() == (SAVED / f"{release}.jsonl").read_text(encoding="utf-8")
        assert dict(store.settings()) == {"hour_costs": "15"}
        (added,) = store.append([Draft(Note("goes on"), "new")])
        assert added.number == len(out.getvalue().splitlines()) + 1
    connection = sqlite3.connect(folder / "workshop.sqlite")
    assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()
