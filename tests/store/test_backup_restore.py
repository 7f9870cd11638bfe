"""A backup is whole, made while others write, readable without us, and comes back as it was."""

from __future__ import annotations

import hashlib
import io
import json
import sqlite3
import threading
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from powergood.errors import WorkshopError
from powergood.record import Draft
from powergood.record import model as m
from powergood.store import Store, backup, fact_object, restore


def photo(shade: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (400, 300), (shade, 80, 120)).save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def full(store: Store, folder: Path) -> Store:
    """A workshop with machines, a job, a withdrawal, photos, settings and a pack of its own."""
    digests = [store.put_photo(photo(shade)) for shade in (0, 90, 200)]
    store.append(
        [
            Draft(m.TakenIn("M-07", "Harbour Portable", "demo", story="from the loft"), "a"),
            Draft(m.JobOpened("No picture", ("picture",)), "b", ("M-07",)),
            Draft(m.Finding("lamp", "bad", sure=False), "c", ("M-07",), power_up=1, fitted=("disk", "lid")),
            Draft(m.Reading("rail-5v", "4.87 V", 4.87, "V"), "d", ("M-07",)),
            *(Draft(m.PhotoTaken(digest, "lid"), digest, ("M-07",)) for digest in digests),
        ]
    )
    store.append([Draft(m.Withdrawn(3, "other machine"), "w", job=1)])
    store.set_setting("hour_costs", "15")
    pack = folder / "packs" / "harbour" / "families"
    pack.mkdir(parents=True)
    (pack / "terminal.yaml").write_text("format: 1\n", encoding="utf-8")
    (folder / "packs" / "pack.yaml").write_text("id: harbour\n", encoding="utf-8")
    return store


def files(folder: Path) -> dict[str, bytes]:
    kept = [path for name in ("photos", "packs") for path in (folder / name).rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in kept}


def test_a_restored_workshop_holds_every_fact_photo_setting_and_pack(
    full: Store, folder: Path, tmp_path: Path
) -> None:
    report = backup(folder, tmp_path / "b.zip")
    assert (report.facts, report.photos, report.missing) == (8, 3, ())
    assert report.size == report.path.stat().st_size
    back = restore(tmp_path / "b.zip", tmp_path / "restored")
    assert (back.facts, back.photos, back.made_at) == (8, 3, back.made_at)
    with Store.open(tmp_path / "restored") as again:
        assert again.facts() == full.facts()
        assert dict(again.settings()) == {"hour_costs": "15"}
        assert files(tmp_path / "restored") == files(folder)
        (added,) = again.append([Draft(m.Note("goes on"), "n", job=1)])
        assert added.number == 9
    names = sorted(path.name for path in (tmp_path / "restored").iterdir())
    assert names == ["packs", "photos", "workshop.sqlite", "write.lock"]


def test_a_number_given_before_the_backup_is_not_given_again_after_the_restore(
    store: Store, folder: Path, tmp_path: Path
) -> None:
    store.append([Draft(m.Note("a"), "a"), Draft(m.Note("b"), "b")])
    with store._write() as connection:
        connection.exec_driver_sql("DELETE FROM note WHERE number = 2")
        connection.exec_driver_sql("DELETE FROM fact WHERE number = 2")
    backup(folder, tmp_path / "b.zip")
    restore(tmp_path / "b.zip", tmp_path / "restored")
    with Store.open(tmp_path / "restored") as again:
        assert again.append([Draft(m.Note("c"), "c")])[0].number == 3


def test_an_empty_workshop_can_be_backed_up_and_restored(store: Store, folder: Path, tmp_path: Path) -> None:
    backup(folder, tmp_path / "b.zip")
    restore(tmp_path / "b.zip", tmp_path / "restored")
    with Store.open(tmp_path / "restored") as again:
        assert again.facts() == ()


def test_a_backup_can_be_read_without_this_program(full: Store, folder: Path, tmp_path: Path) -> None:
    backup(folder, tmp_path / "b.zip")
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        assert archive.testzip() is None
        names = set(archive.namelist())
        lines = archive.read("facts.jsonl").decode().splitlines()
        settings = json.loads(archive.read("settings.json"))
        readme = archive.read("README.txt").decode()
        archive.extract("workshop.sqlite", tmp_path)
        listed = json.loads(archive.read("manifest.json"))
        for name, entry in listed["files"].items():
            data = archive.read(name)
            assert hashlib.sha256(data).hexdigest() == entry["sha256"]
            assert len(data) == entry["size"]
    assert names == set(listed["files"]) | {"manifest.json"}
    assert [json.loads(line) for line in lines] == [fact_object(fact) for fact in full.facts()]
    assert json.loads(lines[2])["body"] == {
        "check": "lamp", "outcome": "bad", "sure": False, "told": False, "copy": 0, "note": "", "cells": [],
    }  # fmt: skip
    assert settings == {"hour_costs": "15"}
    assert "8 facts and 3 photos" in readme
    connection = sqlite3.connect(tmp_path / "workshop.sqlite")
    assert connection.execute("SELECT count(*) FROM fact").fetchone() == (8,)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    connection.close()


def test_a_backup_made_while_others_write_is_whole_and_they_are_not_held_up(
    full: Store, folder: Path, tmp_path: Path
) -> None:
    stop, written, trouble = threading.Event(), [0], list[BaseException]()

    def write() -> None:
        try:
            while not stop.is_set():
                n = written[0]
                body: m.Body = m.Note(f"note {n}")
                if n % 10 == 0:
                    body = m.PhotoTaken(full.put_photo(photo(n % 256)))
                full.append([Draft(body, f"n{n}", job=1)])
                written[0] += 1
        except BaseException as error:
            trouble.append(error)

    writers = threading.Thread(target=write)
    writers.start()
    during = []
    for n in range(5):
        before = written[0]
        backup(folder, tmp_path / f"b{n}.zip")
        during.append(written[0] - before)
    stop.set()
    writers.join()
    assert trouble == []
    assert sum(during) > 0
    book = full.facts()
    for n in range(5):
        report = restore(tmp_path / f"b{n}.zip", tmp_path / f"r{n}")
        with Store.open(tmp_path / f"r{n}") as again:
            facts = again.facts()
            assert facts == book[: len(facts)]
            assert report.facts == len(facts)
            shown = {fact.body.digest for fact in facts if isinstance(fact.body, m.PhotoTaken)}
            for digest in shown:
                data = again.photo_path(digest).read_bytes()
                assert hashlib.sha256(data).hexdigest() == digest


def test_progress_is_told_from_nothing_to_all_in_words(full: Store, folder: Path, tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    backup(folder, tmp_path / "b.zip", lambda *now: told.append(now))
    assert told[0] == (0, 1, "copying the database")
    done = [now[0] for now in told]
    assert done == sorted(done)
    assert all(0 <= now[0] <= now[1] for now in told)
    assert told[-1][0] == told[-1][1]
    assert {"copying the photos", "reading back the photos", "done"} <= {now[2] for now in told}
    told.clear()
    restore(tmp_path / "b.zip", tmp_path / "restored", lambda *now: told.append(now))
    assert told[-1][0] == told[-1][1]
    assert "restoring the photos" in {now[2] for now in told}


def test_a_backup_into_a_folder_gets_a_name_from_the_workshop_and_the_time(
    full: Store, folder: Path, tmp_path: Path, clock: object
) -> None:
    (tmp_path / "backups").mkdir()
    report = backup(folder, tmp_path / "backups", clock=clock)  # type: ignore[arg-type]
    assert report.path == tmp_path / "backups" / "workshop-2026-11-25-093000.zip"
    assert report.path.is_file()


def test_a_backup_never_replaces_a_file(full: Store, folder: Path, tmp_path: Path) -> None:
    (tmp_path / "b.zip").write_text("an earlier one")
    with pytest.raises(WorkshopError, match="a backup never replaces one"):
        backup(folder, tmp_path / "b.zip")
    assert (tmp_path / "b.zip").read_text() == "an earlier one"


def test_a_backup_into_a_folder_that_is_not_there_is_refused(
    full: Store, folder: Path, tmp_path: Path
) -> None:
    with pytest.raises(WorkshopError, match=r"There is no folder .* to put the backup in"):
        backup(folder, tmp_path / "none" / "b.zip")


def test_photos_that_are_gone_or_damaged_are_named_and_the_rest_is_kept(
    full: Store, folder: Path, tmp_path: Path
) -> None:
    digests = sorted({fact.body.digest for fact in full.facts() if isinstance(fact.body, m.PhotoTaken)})
    full.photo_path(digests[0]).unlink()
    full.photo_path(digests[1]).write_bytes(b"rotten")
    report = backup(folder, tmp_path / "b.zip")
    assert (report.missing, report.photos) == (tuple(digests[:2]), 1)
    with zipfile.ZipFile(tmp_path / "b.zip") as archive:
        readme = archive.read("README.txt").decode()
    assert all(digest in readme for digest in digests[:2])
    back = restore(tmp_path / "b.zip", tmp_path / "restored")
    assert back.missing == tuple(digests[:2])
    with Store.open(tmp_path / "restored") as again:
        assert again.facts() == full.facts()
        assert again.photo_path(digests[2]).is_file()


def test_a_damaged_database_is_not_passed_off_as_a_backup(full: Store, folder: Path, tmp_path: Path) -> None:
    with full._write() as connection:
        connection.exec_driver_sql("PRAGMA writable_schema = ON")
        connection.exec_driver_sql("CREATE TRIGGER t AFTER INSERT ON fact BEGIN DELETE FROM note; END")
    with pytest.raises(WorkshopError, match=r"damaged, so no backup was made .* trigger named 't'"):
        backup(folder, tmp_path / "b.zip")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["workshop"]


def test_only_an_empty_folder_is_restored_into(full: Store, folder: Path, tmp_path: Path) -> None:
    backup(folder, tmp_path / "b.zip")
    other = tmp_path / "other"
    other.mkdir()
    (other / "letters.txt").write_text("mine")
    with pytest.raises(WorkshopError, match="is not empty"):
        restore(tmp_path / "b.zip", other)
    with pytest.raises(WorkshopError, match="There is a workshop in"):
        restore(tmp_path / "b.zip", folder)
    with pytest.raises(WorkshopError, match="is a file, not a folder"):
        restore(tmp_path / "b.zip", other / "letters.txt")
    assert [path.name for path in other.iterdir()] == ["letters.txt"]
    assert len(full.facts()) == 8


def test_an_empty_folder_that_is_there_can_be_restored_into(
    full: Store, folder: Path, tmp_path: Path
) -> None:
    backup(folder, tmp_path / "b.zip")
    (tmp_path / "ready").mkdir()
    restore(tmp_path / "b.zip", tmp_path / "ready")
    with Store.open(tmp_path / "ready") as again:
        assert again.facts() == full.facts()
