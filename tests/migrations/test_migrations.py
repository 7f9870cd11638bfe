"""Migrations and tables agree, and the ways in which SQLite loses rows in a migration are closed."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.exc import OperationalError

from powergood.errors import NewerWorkshop, WorkshopError
from powergood.record import Draft
from powergood.record import model as m
from powergood.store import Store, engine, migrate, version
from powergood.store import store as store_module
from powergood.store.tables import metadata

HEAD_NOW = version.HEAD
"""The revision of the program as it is, before a test gives it a later one."""

REVISION = """
import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "{number}", "{after}", None, None


def upgrade() -> None:
{body}
"""

# A rebuilt table loses AUTOINCREMENT unless the migration says it again: Alembic does not read it back.
REBUILDS_A_PARENT = """
    kept = {"sqlite_autoincrement": True}
    with op.batch_alter_table("fact", recreate="always", table_kwargs=kept) as batch:
        batch.add_column(sa.Column("mood", sa.Text(), nullable=False, server_default=""))
"""

FAILS_HALF_WAY = """
    op.add_column("note", sa.Column("mood", sa.Text()))
    op.execute("UPDATE note SET mood = 'calm'")
    op.execute("INSERT INTO nowhere VALUES (1)")
"""

BREAKS_A_REFERENCE = """
    op.execute("DELETE FROM fact WHERE number = 1")
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "workshop"
    with Store.create(made) as store:
        store.append([Draft(m.TakenIn("M-07", "x", "s"), "a"), Draft(m.JobOpened("j"), "b", ("M-07",))])
        store.append([Draft(m.Note("one"), "c", job=1, fitted=("disk",)), Draft(m.Note("two"), "d", job=1)])
    return made


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Path]:
    """Give the program a second revision, as a later release would have."""

    def with_revision(body: str) -> Path:
        scripts = tmp_path / "migrations"
        shutil.copytree(migrate.MIGRATIONS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
        text = REVISION.format(number="9999", after=version.HEAD, body=body)
        (scripts / "versions" / "9999_next.py").write_text(text, encoding="utf-8")
        monkeypatch.setattr(migrate.migrate, "__defaults__", (scripts, "head"))
        monkeypatch.setattr(version, "REVISIONS", (*version.REVISIONS, "9999"))
        monkeypatch.setattr(version, "HEAD", "9999")
        monkeypatch.setattr(store_module, "HEAD", "9999")
        return scripts

    return with_revision


def rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(folder / "workshop.sqlite")
    try:
        return connection.execute(query).fetchall()
    finally:
        connection.close()


def schema(database: Path) -> dict[str, object]:
    """Return what a database is made of, in an order that does not depend on how it was made."""
    connection = sqlite3.connect(database)
    names = [
        row[0]
        for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        if row[0] not in {"alembic_version", "sqlite_sequence"}
    ]
    found: dict[str, object] = {}
    for name in names:
        (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = ?", (name,)).fetchone()
        found[name] = {
            "columns": connection.execute(f"PRAGMA table_xinfo('{name}')").fetchall(),
            "indexes": sorted(
                (row[1], row[2], row[3], tuple(connection.execute(f"PRAGMA index_info('{row[1]}')")))
                for row in connection.execute(f"PRAGMA index_list('{name}')")
                if not row[1].startswith("sqlite_autoindex")
            ),
            "foreign": sorted(row[2:] for row in connection.execute(f"PRAGMA foreign_key_list('{name}')")),
            "constraints": sorted(re.findall(r"CONSTRAINT \S+ (?:CHECK|UNIQUE) \([^\n]*\)", sql)),
            "autoincrement": "AUTOINCREMENT" in sql,
        }
    connection.close()
    return found


def test_the_migrations_make_what_the_tables_say_checks_and_all(folder: Path, tmp_path: Path) -> None:
    # Alembic's own comparison does not see CHECK constraints (its documentation, "What does Autogenerate
    # Detect"), so both databases are made and compared.
    made = tmp_path / "made.sqlite"
    fresh = engine.make_engine(made)
    with engine.writing(fresh).begin() as connection:
        metadata.create_all(connection)
    fresh.dispose()
    by_migrations = schema(folder / "workshop.sqlite")
    assert by_migrations == schema(made)
    assert by_migrations["fact"]["constraints"]  # type: ignore[index]


def test_alembics_own_comparison_finds_nothing_to_do(folder: Path) -> None:
    opened = engine.make_engine(folder / "workshop.sqlite")
    with opened.connect() as connection:
        options = {"compare_type": True, "compare_server_default": True, "render_as_batch": True}
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, metadata) == []
        connection.rollback()
        command.check(migrate.configuration(connection))
    opened.dispose()


def test_the_revisions_the_program_knows_are_those_of_its_migrations() -> None:
    directory = ScriptDirectory(str(migrate.MIGRATIONS))
    assert tuple(script.revision for script in directory.walk_revisions())[::-1] == version.REVISIONS
    assert directory.get_heads() == [version.HEAD]


def test_a_migration_imports_nothing_of_ours() -> None:
    for path in (migrate.MIGRATIONS / "versions").glob("*.py"):
        assert "powergood" not in path.read_text(encoding="utf-8"), path.name


def test_a_migration_written_by_the_template_imports_nothing_of_ours_either(tmp_path: Path) -> None:
    scripts = tmp_path / "migrations"
    shutil.copytree(migrate.MIGRATIONS, scripts, ignore=shutil.ignore_patterns("versions", "__pycache__"))
    (scripts / "versions").mkdir()
    empty = engine.make_engine(tmp_path / "empty.sqlite")
    with empty.connect() as connection:
        command.revision(migrate.configuration(connection, scripts), "all", autogenerate=True, rev_id="0001")
    empty.dispose()
    (written,) = (scripts / "versions").glob("*.py")
    text = written.read_text(encoding="utf-8")
    assert "powergood" not in text
    assert "op.f('uq_fact_key')" in text
    remade = engine.make_engine(tmp_path / "remade.sqlite")
    migrate.migrate(remade, scripts)
    remade.dispose()
    assert "fact" in schema(tmp_path / "remade.sqlite")


def test_rebuilding_a_table_that_others_refer_to_keeps_their_rows(
    folder: Path, later: Callable[[str], Path]
) -> None:
    # With foreign keys on, the drop of the old table deletes (or refuses) the rows of its children:
    # https://www.sqlite.org/lang_altertable.html, "Making Other Kinds Of Table Schema Changes", step 1.
    with Store.open(folder) as store:
        before = store.facts()
    later(REBUILDS_A_PARENT)
    with Store.open(folder) as store:
        assert store.facts() == before
        (added,) = store.append([Draft(m.Note("three"), "e", job=1)])
        assert added.number == 5
    assert rows(folder, "SELECT DISTINCT mood FROM fact") == [("",)]
    assert rows(folder, "PRAGMA foreign_key_check") == []
    assert rows(folder, "SELECT version_num FROM alembic_version") == [("9999",)]


def test_rebuilding_a_table_keeps_numbers_from_being_used_again(
    folder: Path, later: Callable[[str], Path]
) -> None:
    later(REBUILDS_A_PARENT)
    with Store.open(folder):
        pass
    (sql,) = rows(folder, "SELECT sql FROM sqlite_master WHERE name = 'fact'")[0]
    assert "AUTOINCREMENT" in str(sql)


def test_a_migration_that_would_let_numbers_be_used_again_is_undone_and_told(
    folder: Path, later: Callable[[str], Path]
) -> None:
    later(REBUILDS_A_PARENT.replace(", table_kwargs=kept", ""))
    with pytest.raises(WorkshopError, match="let fact numbers be used twice"):
        Store.open(folder)
    assert rows(folder, "SELECT version_num FROM alembic_version") == [(HEAD_NOW,)]


def test_foreign_keys_are_on_again_after_a_migration(folder: Path, later: Callable[[str], Path]) -> None:
    later(REBUILDS_A_PARENT)
    with Store.open(folder) as store, store._read() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


def test_a_migration_that_fails_half_way_leaves_the_database_as_it_was(
    folder: Path, later: Callable[[str], Path]
) -> None:
    # Python's sqlite3 leaves DDL outside of its transactions unless told not to begin any of its own.
    before = schema(folder / "workshop.sqlite")
    later(FAILS_HALF_WAY)
    with pytest.raises(OperationalError, match="nowhere"):
        Store.open(folder)
    assert schema(folder / "workshop.sqlite") == before
    assert rows(folder, "SELECT version_num FROM alembic_version") == [(HEAD_NOW,)]
    assert rows(folder, "SELECT text FROM note") == [("one",), ("two",)]


def test_a_migration_that_would_break_references_is_undone_and_told(
    folder: Path, later: Callable[[str], Path]
) -> None:
    later(BREAKS_A_REFERENCE)
    with pytest.raises(WorkshopError, match=r"would break \d+ references .* Nothing was changed"):
        Store.open(folder)
    assert len(rows(folder, "SELECT number FROM fact")) == 4
    assert rows(folder, "SELECT version_num FROM alembic_version") == [(HEAD_NOW,)]


@pytest.mark.parametrize("body", [REBUILDS_A_PARENT, BREAKS_A_REFERENCE])
def test_before_a_migration_a_whole_copy_is_made_that_the_old_program_opens(
    folder: Path, later: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, body: str
) -> None:
    with Store.open(folder) as store:
        before = store.facts()
    later(body)
    moment = datetime(2027, 1, 2, 3, 4, 5, tzinfo=UTC)
    try:
        Store.open(folder, clock=lambda: moment).close()
    except WorkshopError:
        assert body is BREAKS_A_REFERENCE
    (copy,) = (folder / "before-migration").iterdir()
    assert copy.name == f"workshop-{HEAD_NOW}-20270102T030405.sqlite"
    monkeypatch.undo()
    (tmp_path / "old").mkdir()
    shutil.copy(copy, tmp_path / "old" / "workshop.sqlite")
    with Store.open(tmp_path / "old") as store:
        assert store.facts() == before


def test_two_copies_of_one_second_both_stay(folder: Path) -> None:
    moment = datetime(2027, 1, 2, 3, 4, 5, tzinfo=UTC)
    database = folder / "workshop.sqlite"
    first = migrate.copy_before_migration(database, HEAD_NOW, moment)
    second = migrate.copy_before_migration(database, HEAD_NOW, moment)
    assert first != second
    assert first.is_file()
    assert second.is_file()


def test_no_copy_is_made_where_there_is_nothing_to_bring_up_to_date(folder: Path) -> None:
    Store.open(folder).close()
    assert not (folder / "before-migration").exists()


def test_the_old_program_leaves_a_migrated_workshop_alone(
    folder: Path, later: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    later(REBUILDS_A_PARENT)
    Store.open(folder).close()
    monkeypatch.undo()
    with pytest.raises(NewerWorkshop, match="Install the newer version"):
        Store.open(folder)


def test_a_migration_runs_from_a_folder_with_a_percent_sign_in_its_name(tmp_path: Path) -> None:
    scripts = tmp_path / "100%" / "migrations"
    shutil.copytree(migrate.MIGRATIONS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
    made = engine.make_engine(tmp_path / "made.sqlite")
    migrate.migrate(made, scripts)
    made.dispose()
    assert "fact" in schema(tmp_path / "made.sqlite")
