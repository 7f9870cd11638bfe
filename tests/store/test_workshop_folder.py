"""Making and opening a workshop: folders that are not what they should be get a plain answer."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from powergood.errors import NewerWorkshop, WorkshopError
from powergood.record import Draft
from powergood.record import model as m
from powergood.store import Store
from powergood.store import store as store_module

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}


def test_a_workshop_is_made_with_the_folders_above_it_and_can_be_opened(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b ü %41 #1" / "workshop"
    with Store.create(folder) as store:
        store.append([Draft(m.Note("x"), "k")])
    with Store.open(folder) as store:
        assert len(store.facts()) == 1


def test_a_workshop_can_be_made_in_an_empty_folder(folder: Path) -> None:
    folder.mkdir()
    (folder / ".hidden").touch()
    Store.create(folder).close()
    assert (folder / "workshop.sqlite").is_file()


def test_a_workshop_can_be_moved_once_it_is_closed(store: Store, folder: Path, tmp_path: Path) -> None:
    store.append([Draft(m.Note("x"), "k")])
    store.close()
    shutil.move(folder, tmp_path / "elsewhere")
    with Store.open(tmp_path / "elsewhere") as again:
        assert len(again.facts()) == 1


def test_nothing_but_the_database_and_the_lock_is_left_after_closing(store: Store, folder: Path) -> None:
    store.append([Draft(m.Note("x"), "k")])
    store.close()
    assert sorted(path.name for path in folder.iterdir()) == ["workshop.sqlite", "write.lock"]


def test_a_second_workshop_is_never_made_over_the_first(store: Store, folder: Path) -> None:
    store.append([Draft(m.Note("x"), "k")])
    with pytest.raises(WorkshopError, match=r"There is a workshop in .* already\. Open it"):
        Store.create(folder)
    assert len(store.facts()) == 1


def test_a_workshop_is_not_made_among_other_files(folder: Path) -> None:
    folder.mkdir()
    (folder / "letters.txt").write_text("mine")
    with pytest.raises(WorkshopError, match=r"is not empty \(it holds letters.txt\)"):
        Store.create(folder)
    assert [path.name for path in folder.iterdir()] == ["letters.txt"]


def test_a_workshop_is_not_made_where_a_file_is(folder: Path) -> None:
    folder.write_text("a file")
    with pytest.raises(WorkshopError, match="is a file, not a folder"):
        Store.create(folder)


def test_what_a_making_cut_short_has_left_does_not_hinder_the_next(folder: Path) -> None:
    folder.mkdir()
    for name in ("workshop.sqlite.tmp", "workshop.sqlite.tmp-wal", "workshop.sqlite.tmp-shm", "write.lock"):
        (folder / name).write_text("half")
    with pytest.raises(WorkshopError, match="is not a workshop"):
        Store.open(folder)
    Store.create(folder).close()
    assert sorted(path.name for path in folder.iterdir()) == ["workshop.sqlite", "write.lock"]


def test_a_folder_that_is_not_there_is_said_to_be_missing(folder: Path) -> None:
    with pytest.raises(WorkshopError, match="There is no folder"):
        Store.open(folder)
    assert not folder.exists()


def test_a_folder_without_a_database_is_not_a_workshop_and_is_left_as_it_is(folder: Path) -> None:
    folder.mkdir()
    with pytest.raises(WorkshopError, match=r"is not a workshop\. Give the folder of a workshop"):
        Store.open(folder)
    assert list(folder.iterdir()) == []


def test_a_database_of_another_program_is_not_a_workshop_and_is_left_as_it_is(folder: Path) -> None:
    folder.mkdir()
    connection = sqlite3.connect(folder / "workshop.sqlite")
    connection.execute("CREATE TABLE recipe (name TEXT)")
    connection.commit()
    connection.close()
    before = (folder / "workshop.sqlite").read_bytes()
    with pytest.raises(WorkshopError, match="is not a workshop"):
        Store.open(folder)
    assert (folder / "workshop.sqlite").read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"not a database at all, " * 100])
def test_a_file_that_is_no_database_is_said_to_be_none(folder: Path, content: bytes) -> None:
    folder.mkdir()
    (folder / "workshop.sqlite").write_bytes(content)
    with pytest.raises(WorkshopError, match=r"is not a workshop|is damaged"):
        Store.open(folder)


def test_a_damaged_database_is_said_to_be_damaged_with_what_to_do(store: Store, folder: Path) -> None:
    store.append([Draft(m.Note("x" * 5000), f"k{n}") for n in range(40)])
    store.close()
    database = folder / "workshop.sqlite"
    data = bytearray(database.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    database.write_bytes(bytes(data))
    with (
        pytest.raises(WorkshopError, match=r"is damaged .* restore the last backup"),
        Store.open(folder) as again,
    ):
        again.facts()


@pytest.mark.parametrize(
    "change",
    ["UPDATE alembic_version SET version_num = '9999'", "UPDATE meta SET value = '2' WHERE name = 'format'"],
)
def test_a_workshop_of_a_newer_version_is_left_alone_with_what_to_do(
    store: Store, folder: Path, change: str
) -> None:
    store.close()
    connection = sqlite3.connect(folder / "workshop.sqlite")
    connection.execute(change)
    connection.commit()
    connection.close()
    before = (folder / "workshop.sqlite").read_bytes()
    with pytest.raises(
        NewerWorkshop, match=r"newer version .* Nothing was changed\. Install the newer version"
    ):
        Store.open(folder)
    assert (folder / "workshop.sqlite").read_bytes() == before


UNWRITABLE = """
import os, sys
from pathlib import Path
import powergood.store.migrate
from powergood.errors import WorkshopError
from powergood.store import Store, backup
if os.geteuid() == 0:
    os.setuid(65534)  # rights mean nothing to root
for act in (
    lambda: Store.open(Path(sys.argv[1])),
    lambda: Store.create(Path(sys.argv[2]) / "new"),
    lambda: backup(Path(sys.argv[3]), Path(sys.argv[2]) / "b.zip"),
):
    try:
        act()
    except WorkshopError as error:
        print(type(error).__name__, error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="rights of folders are set another way on Windows")
def test_a_folder_that_may_not_be_written_to_gets_a_plain_answer(template: Path) -> None:
    # Not in pytest's own folder, which nobody but its owner may enter.
    with tempfile.TemporaryDirectory() as top:
        Path(top).chmod(0o755)
        closed, empty, free = Path(top) / "closed", Path(top) / "empty", Path(top) / "free"
        shutil.copytree(template, closed)
        shutil.copytree(template, free)
        empty.mkdir()
        for path in (closed, *closed.rglob("*"), empty):
            path.chmod(0o555 if path.is_dir() else 0o444)
        for path in (free, *free.rglob("*")):
            path.chmod(0o777)
        run = [sys.executable, "-W", "error", "-c", UNWRITABLE, str(closed), str(empty), str(free)]
        answer = subprocess.run(run, capture_output=True, text=True, env=ENVIRONMENT, check=True)
        for path in (closed, empty):
            path.chmod(0o755)
    lines = answer.stdout.splitlines()
    assert len(lines) == 3, answer.stdout
    assert all(line.startswith("WorkshopError The folder ") for line in lines)
    assert all("may not be written to. Give yourself the right" in line for line in lines)


def test_the_database_is_set_so_that_what_is_acknowledged_survives_a_power_cut(store: Store) -> None:
    # WAL with synchronous FULL syncs at each commit: https://sqlite.org/pragma.html#pragma_synchronous
    with store._read() as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema")
        }
    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "trusted_schema": 0}


def test_opening_a_workshop_that_is_up_to_date_does_not_load_the_migration_library() -> None:
    # It takes as long to load as all the rest of an opening.
    assert "alembic" not in vars(store_module)
    code = "import sys, powergood.store; sys.exit('alembic' in sys.modules)"
    subprocess.run([sys.executable, "-c", code], env=ENVIRONMENT, check=True)
