"""A program killed at any moment loses nothing it has acknowledged, and leaves nothing half made."""

from __future__ import annotations

import hashlib
import os
import random
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from powergood.record import Draft
from powergood.record.model import Note
from powergood.store import Store, backup, restore

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}

WRITES = """
import io, itertools, os, sys
from pathlib import Path
from PIL import Image
from powergood.record import Draft
from powergood.record.model import Finding, Note, PhotoTaken
from powergood.store import Store

store = Store.open(Path(sys.argv[1]))
start = int(sys.argv[2])
for n in itertools.count(start):
    if n % 5 == 0:
        out = io.BytesIO()
        Image.effect_noise((160, 120), n % 97 + 1).save(out, "PNG")
        body = PhotoTaken(store.put_photo(out.getvalue()))
    else:
        body = Note(f"note {n} " + "x" * (n % 7 * 300))
    (fact,) = store.append([Draft(body, f"k{n}")])
    os.write(1, f"{n} {fact.number}\\n".encode())
"""


def acknowledged_until_killed(folder: Path, start: int, count: int) -> dict[int, int]:
    """Let a program write, kill it after `count` acknowledgements, return fact numbers by draft."""
    run = [sys.executable, "-W", "error", "-c", WRITES, str(folder), str(start)]
    program = subprocess.Popen(run, stdout=subprocess.PIPE, env=ENVIRONMENT, bufsize=0)
    assert program.stdout
    lines = [program.stdout.readline() for _ in range(count)]
    program.kill()
    # What it wrote to the pipe before it died was acknowledged too.
    rest = program.stdout.read()
    program.wait()
    program.stdout.close()
    assert program.returncode < 0 or sys.platform == "win32"
    whole = (b"".join(lines) + rest).decode().splitlines(keepends=True)
    pairs = [line.split() for line in whole if line.endswith("\n")]
    return {int(n): int(number) for n, number in pairs}


def look_over(folder: Path) -> None:
    connection = sqlite3.connect(folder / "workshop.sqlite")
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    digests = [row[0] for row in connection.execute("SELECT digest FROM photo")]
    connection.close()
    for digest in digests:
        path = folder / "photos" / digest[:2] / f"{digest}.jpg"
        assert hashlib.sha256(path.read_bytes()).hexdigest() == digest
        assert path.with_suffix(".webp").stat().st_size > 0


def test_nothing_acknowledged_is_lost_when_a_program_is_killed_again_and_again(
    store: Store, folder: Path
) -> None:
    store.close()
    dice = random.Random(20261125)
    acknowledged: dict[int, int] = {}
    for _ in range(8):
        start = max(acknowledged, default=0) + 100
        acknowledged |= acknowledged_until_killed(folder, start, dice.randint(1, 25))
        look_over(folder)
    with Store.open(folder) as again:
        by_key = {fact.draft.key: fact for fact in again.facts()}
        for n, number in acknowledged.items():
            fact = by_key[f"k{n}"]
            assert fact.number == number
            if isinstance(fact.body, Note):
                assert fact.body.text == f"note {n} " + "x" * (n % 7 * 300)
        assert len(by_key) - len(acknowledged) <= 8, "at most one fact a round was stored and not yet told"
        assert list((folder / "photos").rglob("*.tmp")) == []
        assert len(again.append([Draft(Note("after"), "after")])) == 1
    assert len(acknowledged) >= 8


COPIES = """
import os, signal, sys
from pathlib import Path
from powergood.store import backup, restore

def progress(done, total, words):
    if done == int(sys.argv[1]):
        os.kill(os.getpid(), signal.SIGKILL)

if sys.argv[2] == "backup":
    backup(Path(sys.argv[3]), Path(sys.argv[4]), progress)
else:
    restore(Path(sys.argv[3]), Path(sys.argv[4]), progress)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs kill -9")
@pytest.mark.parametrize("moment", range(5))
def test_a_backup_or_restore_killed_half_way_leaves_no_file_that_looks_whole(
    store: Store, folder: Path, tmp_path: Path, moment: int
) -> None:
    store.append([Draft(Note("x"), "k")])
    target, whole, restored = tmp_path / "b.zip", tmp_path / "whole.zip", tmp_path / "restored"
    run = [sys.executable, "-c", COPIES, str(moment)]
    killed = subprocess.run([*run, "backup", str(folder), str(target)], env=ENVIRONMENT, check=False)
    assert killed.returncode == -9 or moment == 4
    assert not target.exists() or moment == 4
    backup(folder, whole)
    killed = subprocess.run([*run, "restore", str(whole), str(restored)], env=ENVIRONMENT, check=False)
    if killed.returncode:
        assert not (restored / "workshop.sqlite").exists() or moment == 4
    if not (restored / "workshop.sqlite").exists():
        restore(whole, restored)
    with Store.open(restored) as again:
        assert again.facts() == store.facts()
