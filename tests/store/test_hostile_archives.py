"""Archives that are broken or made to do harm: refused with what is wrong, and nothing is left behind."""

from __future__ import annotations

import hashlib
import io
import json
import sqlite3
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from powergood.errors import BadInput, DiskFull, NewerWorkshop, PowergoodError
from powergood.record import Draft
from powergood.record import model as m
from powergood.store import Store, backup, restore

Files = dict[str, bytes]


@pytest.fixture
def files(store: Store, folder: Path, tmp_path: Path) -> Files:
    """The files of a good backup, by name."""
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "teal").save(out, "PNG")
    digest = store.put_photo(out.getvalue())
    store.append([Draft(m.Note("x"), "k"), Draft(m.PhotoTaken(digest), "p")])
    made = tmp_path / "made"
    made.mkdir()
    backup(folder, made / "good.zip")
    with zipfile.ZipFile(made / "good.zip") as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def relisted(files: Files) -> Files:
    """Return the files with a manifest that tells the truth of them, as a forger would make it."""
    manifest = json.loads(files["manifest.json"])
    manifest["files"] = {
        name: {"sha256": hashlib.sha256(data).hexdigest(), "size": len(data)}
        for name, data in files.items()
        if name != "manifest.json"
    }
    return {**files, "manifest.json": json.dumps(manifest).encode()}


def packed(path: Path, files: Files) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return path


def refusal(archive: Path, tmp_path: Path, kind: type[PowergoodError] = BadInput) -> str:
    """Return the words a restore is refused with, having seen that nothing was left behind."""
    empty = tmp_path / "empty"
    empty.mkdir(exist_ok=True)
    before = sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*"))
    for target in (tmp_path / "restored", empty):
        with pytest.raises(kind) as caught:
            restore(archive, target)
        assert sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*")) == before
    return str(caught.value)


def photo_name(files: Files) -> str:
    return next(name for name in files if name.endswith(".jpg"))


def test_the_files_as_they_are_make_a_backup_that_is_taken(files: Files, tmp_path: Path) -> None:
    restore(packed(tmp_path / "b.zip", relisted(files)), tmp_path / "restored")
    with Store.open(tmp_path / "restored") as again:
        assert len(again.facts()) == 2


@pytest.mark.parametrize(
    "name",
    [
        "../outside.txt",
        "packs/../../outside.txt",
        "/tmp/outside.txt",
        "packs//outside.txt",
        "packs/./outside.txt",
        "packs\\..\\outside.txt",
        "C:/outside.txt",
        "packs/C:outside.txt",
        "packs/nul\x01.txt",
        "packs/ends-with-dot.",
        "packs",
        "photos/ab/../../../outside.jpg",
        "photos/ab/" + "cd" * 32 + ".jpg",
        "photos/ab/" + "ab" * 32 + ".svg",
        "before-migration/x.sqlite",
        "write.lock",
        "workshop.sqlite-wal",
        "",
    ],
)
def test_a_file_that_no_backup_holds_is_refused_by_name(files: Files, tmp_path: Path, name: str) -> None:
    words = refusal(packed(tmp_path / "b.zip", relisted({**files, name: b"harm"})), tmp_path)
    assert "which no backup holds" in words
    assert "nothing was changed" in words
    assert "Take another copy of it" in words


def test_a_link_in_place_of_a_file_is_refused(files: Files, tmp_path: Path) -> None:
    path = packed(tmp_path / "b.zip", files)
    with zipfile.ZipFile(path, "a") as archive:
        link = zipfile.ZipInfo("packs/link.yaml")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "/etc/passwd")
    assert "'packs/link.yaml' is a link, not a file" in refusal(path, tmp_path)


@pytest.mark.filterwarnings("ignore:Duplicate name:UserWarning")
@pytest.mark.parametrize("name", ["facts.jsonl", "FACTS.JSONL"])
def test_a_name_held_twice_is_refused_also_in_other_letters(files: Files, tmp_path: Path, name: str) -> None:
    path = packed(tmp_path / "b.zip", files)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(name, "other")
    assert f"{name!r} twice" in refusal(path, tmp_path)


def test_a_wrong_digest_is_refused_and_each_file_named(files: Files, tmp_path: Path) -> None:
    changed = dict(files)
    for name in ("facts.jsonl", photo_name(files)):
        changed[name] = bytes([files[name][0] ^ 1]) + files[name][1:]
    words = refusal(packed(tmp_path / "b.zip", changed), tmp_path)
    assert "'facts.jsonl' is not what its list says: its digest differs" in words
    assert f"{photo_name(files)!r} is not what its list says" in words


def test_another_photo_under_a_photos_name_is_refused_though_the_list_was_changed_too(
    files: Files, tmp_path: Path
) -> None:
    forged = relisted({**files, photo_name(files): b"another photo"})
    assert "is not the photo its name says" in refusal(packed(tmp_path / "b.zip", forged), tmp_path)


def test_a_file_missing_unlisted_or_of_another_size_is_refused(files: Files, tmp_path: Path) -> None:
    changed = {**files, "settings.json": files["settings.json"] + b" ", "packs/more.yaml": b"id: x"}
    del changed["facts.jsonl"]
    words = refusal(packed(tmp_path / "b.zip", changed), tmp_path)
    assert "'packs/more.yaml' is not in its list" in words
    assert "'facts.jsonl' is missing from it" in words
    assert "'settings.json' has " in words


def test_a_photo_of_the_book_that_is_neither_there_nor_said_to_be_missing_is_refused(
    files: Files, tmp_path: Path
) -> None:
    fewer = relisted({name: data for name, data in files.items() if name != photo_name(files)})
    words = refusal(packed(tmp_path / "b.zip", fewer), tmp_path)
    assert "is in its book but not among its files" in words


@pytest.mark.parametrize("share", [0.0, 0.01, 0.3, 0.6, 0.9, 0.999])
def test_an_archive_cut_short_is_refused(files: Files, tmp_path: Path, share: float) -> None:
    data = packed(tmp_path / "whole.zip", files).read_bytes()
    (tmp_path / "cut.zip").write_bytes(data[: int(len(data) * share)])
    assert "is not a whole backup" in refusal(tmp_path / "cut.zip", tmp_path)


def test_an_archive_with_rotten_bytes_is_refused_wherever_they_are(files: Files, tmp_path: Path) -> None:
    data = packed(tmp_path / "whole.zip", files).read_bytes()
    step = len(data) // 40
    for place in range(30, len(data) - 30, step):
        rotten = bytearray(data)
        rotten[place : place + 8] = b"\xaa" * 8
        (tmp_path / "rotten.zip").write_bytes(bytes(rotten))
        try:
            restore(tmp_path / "rotten.zip", tmp_path / "restored")
        except PowergoodError:
            assert not (tmp_path / "restored").exists()
        else:
            # The bytes lay where a zip file keeps what nobody reads, such as a time: all must be as it was.
            with Store.open(tmp_path / "restored") as again:
                assert len(again.facts()) == 2
            for path in sorted((tmp_path / "restored").rglob("*"), reverse=True):
                path.unlink() if path.is_file() else path.rmdir()
            (tmp_path / "restored").rmdir()


@pytest.mark.parametrize("content", [b"", b"It worked when I put it away.", b"PK\x05\x06" + bytes(18)])
def test_what_is_no_archive_is_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "b.zip").write_bytes(content)
    assert "not" in refusal(tmp_path / "b.zip", tmp_path)


def test_an_archive_that_is_not_there_is_said_to_be_missing(tmp_path: Path) -> None:
    assert "There is no file" in refusal(tmp_path / "none.zip", tmp_path)
    assert "There is no file" in refusal(tmp_path, tmp_path)


@pytest.mark.parametrize(
    "manifest",
    [
        b"",
        b"[]",
        b"{",
        b"\xff\xfe",
        b'{"format": "x"}',
        b'{"format": 1}',
        b'{"format": 1e999}',
        b"[" * 200_000,
        b'{"format": 1, "made_at": "", "made_by": "", "facts": 0, "photos": 0, "missing": 1, "files": {}}',
        b'{"format": 1, "made_at": "", "made_by": 1, "facts": 0, "photos": 0, "missing": [], "files": [1]}',
    ],
    ids=range(10),
)
def test_a_list_that_cannot_be_read_is_refused(files: Files, tmp_path: Path, manifest: bytes) -> None:
    words = refusal(packed(tmp_path / "b.zip", {**files, "manifest.json": manifest}), tmp_path)
    assert "its manifest.json cannot be read" in words


def test_an_archive_without_a_list_is_refused(files: Files, tmp_path: Path) -> None:
    del files["manifest.json"]
    assert "it has no manifest.json" in refusal(packed(tmp_path / "b.zip", files), tmp_path)


def test_a_backup_of_a_newer_version_says_to_install_it(files: Files, tmp_path: Path) -> None:
    manifest = json.loads(files["manifest.json"])
    newer = {**files, "manifest.json": json.dumps({**manifest, "format": 2}).encode()}
    words = refusal(packed(tmp_path / "b.zip", newer), tmp_path, NewerWorkshop)
    assert "Install the newer version" in words


def test_a_file_far_larger_than_its_list_says_is_not_unpacked(files: Files, tmp_path: Path) -> None:
    bomb = {**files, "packs/bomb.yaml": bytes(200_000_000)}
    manifest = json.loads(files["manifest.json"])
    manifest["files"]["packs/bomb.yaml"] = {"sha256": "0" * 64, "size": 10}
    path = packed(tmp_path / "b.zip", {**bomb, "manifest.json": json.dumps(manifest).encode()})
    assert path.stat().st_size < 1_000_000
    assert "has 200000000 bytes where its list says 10" in refusal(path, tmp_path)


def test_a_backup_larger_than_the_disk_is_refused_before_anything_is_unpacked(
    files: Files, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import shutil

    used = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda path: used._replace(free=1000))
    words = refusal(packed(tmp_path / "b.zip", files), tmp_path, DiskFull)
    assert "Nothing was restored; the backup itself is unharmed" in words


def database_changed(files: Files, tmp_path: Path, change: Callable[[sqlite3.Connection], object]) -> Files:
    path = tmp_path / "changed.sqlite"
    path.write_bytes(files["workshop.sqlite"])
    connection = sqlite3.connect(path)
    change(connection)
    connection.commit()
    connection.close()
    data = path.read_bytes()
    path.unlink()
    return relisted({**files, "workshop.sqlite": data})


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("CREATE TRIGGER t AFTER INSERT ON fact BEGIN DELETE FROM note; END", "it holds a trigger named 't'"),
        ("CREATE VIEW v AS SELECT 1", "it holds a view named 'v'"),
        ("CREATE VIRTUAL TABLE v USING fts5(x)", "it holds a table named 'v'"),
        ("DROP TABLE fact_machine", "its table 'fact_machine' is not as it should be"),
        ("DROP TABLE photo", "references lead nowhere"),
        ("ALTER TABLE note DROP COLUMN text", "its table 'note' is not as it should be"),
        ("DROP TABLE alembic_version", "is not that of a workshop"),
        ("PRAGMA application_id = 7", "is not that of a workshop"),
        ("UPDATE meta SET value = 'x' WHERE name = 'format'", "is not that of a workshop"),
        ("INSERT INTO note VALUES (77, 'of no fact')", "references lead nowhere"),
        (
            "INSERT INTO fact SELECT 9, 'k9', 0, '', '', '', 0, '', '', 'note'",
            "holds 3 facts where its list says 2",
        ),
    ],
)
def test_a_database_that_is_not_as_we_make_it_is_refused(
    files: Files, tmp_path: Path, statement: str, words: str
) -> None:
    import re

    changed = database_changed(files, tmp_path, lambda connection: connection.execute(statement))
    found = refusal(packed(tmp_path / "b.zip", changed), tmp_path)
    assert re.search(words, found), found


def test_a_database_with_rotten_pages_is_refused(files: Files, tmp_path: Path) -> None:
    data = bytearray(files["workshop.sqlite"])
    for page in range(2, len(data) // 4096):
        data[page * 4096 : page * 4096 + 40] = b"\xaa" * 40
    path = packed(tmp_path / "b.zip", relisted({**files, "workshop.sqlite": bytes(data)}))
    assert "its database: " in refusal(path, tmp_path)


def test_a_database_that_is_none_is_refused(files: Files, tmp_path: Path) -> None:
    path = packed(tmp_path / "b.zip", relisted({**files, "workshop.sqlite": b"no database" * 500}))
    assert "its database: file is not a database" in refusal(path, tmp_path)
