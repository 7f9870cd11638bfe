"""A full disk, made for real: nothing half stored, what was stored is safe, and it goes on afterwards."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import event

from powergood.errors import DiskFull
from powergood.record import Draft
from powergood.record import model as m
from powergood.store import Store

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}


def fill(store: Store, room_pages: int) -> None:
    """Let the database grow by so many pages only, as a disk that is nearly full would."""
    with store._read() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()

    def limit(connection: object, _record: object, _proxy: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages + room_pages}").close()  # type: ignore[attr-defined]

    event.listen(store._engine, "checkout", limit)


def test_when_the_database_cannot_grow_the_answer_says_what_is_safe_and_nothing_is_half_stored(
    store: Store,
) -> None:
    kept = store.append([Draft(m.Note("before"), "before")])
    fill(store, room_pages=3)
    batch = [Draft(m.Note("x" * 3000), f"k{n}") for n in range(20)]
    with pytest.raises(DiskFull, match=r"no room left .* not stored; everything stored before is safe"):
        store.append(batch)
    assert store.facts() == kept


def test_when_there_is_room_again_the_same_batch_goes_in(store: Store, folder: Path) -> None:
    fill(store, room_pages=3)
    batch = [Draft(m.Note("x" * 3000), f"k{n}") for n in range(20)]
    with pytest.raises(DiskFull):
        store.append(batch)
    store.close()
    with Store.open(folder) as again:
        assert len(again.append(batch)) == 20


ACT = """
import io, sys
from pathlib import Path
from PIL import Image
from powergood.errors import WorkshopError
from powergood.record import Draft
from powergood.record.model import Note
from powergood.store import Store, backup

folder, place, act = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
out = io.BytesIO()
Image.effect_noise((1200, 900), 90).save(out, "PNG")
store = Store.open(folder)
store.append([Draft(Note("before"), "before")])
acts = {
    "photo": lambda: store.put_photo(out.getvalue()),
    "facts": lambda: store.append([Draft(Note("x" * 3000), f"k{n}") for n in range(400)]),
    "backup": lambda: backup(folder, place / "b.zip"),
}

def tried():
    try:
        acts[act]()
    except WorkshopError as error:
        print(type(error).__name__, error)
    else:
        print("done")

def tried_short_of_room_and_with_room():
    take_room()
    tried()
    print(len(store.facts()))
    print(sorted(path.name for path in place.rglob("*") if path.suffix == ".tmp" or path.name[0] == "."))
    give_room()
    tried()
    print(len(store.append([Draft(Note("after"), "after")])))
    store.close()
"""

LIMITED = """
import resource

def take_room():
    # A file may grow no further than this, as where a quota for the size of files is set.
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[4]), resource.RLIM_INFINITY))

def give_room():
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))

tried_short_of_room_and_with_room()
"""

FULL = """
import shutil

def take_room():
    free = shutil.disk_usage(place).free - int(sys.argv[4])
    (place / "filler").write_bytes(bytes(free))

def give_room():
    (place / "filler").unlink()

tried_short_of_room_and_with_room()
"""

NOT_STORED = "What you sent last was not stored; everything stored before is safe."
NO_BACKUP = "No backup was made; the workshop itself is unharmed."


def answers(run: list[str]) -> list[str]:
    answer = subprocess.run(run, capture_output=True, text=True, env=ENVIRONMENT, check=False)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout.splitlines()


@pytest.mark.skipif(sys.platform == "win32", reason="a limit for the size of files is POSIX only")
@pytest.mark.parametrize(
    ("act", "limit", "words"),
    [
        ("photo", 120_000, f"DiskFull .*{NOT_STORED}"),
        # SQLite tells a file that may not grow as an error of the disk, without saying which.
        ("facts", 300_000, f"WorkshopError .*{NOT_STORED} Look at the disk, its free room and its limits"),
        ("backup", 60_000, f"WorkshopError .*{NO_BACKUP} Look at the disk, its free room and its limits"),
    ],
)
def test_when_files_may_not_grow_nothing_is_half_stored_and_all_goes_on_afterwards(
    store: Store, folder: Path, act: str, limit: int, words: str
) -> None:
    store.close()
    run = [sys.executable, "-W", "error", "-c", ACT + LIMITED]
    first, facts, strays, second, after = answers([*run, str(folder), str(folder.parent), act, str(limit)])
    assert re.match(words, first), first
    assert (facts, strays, second, after) == ("1", "[]", "done", "1")


def own_mounts() -> bool:
    """Return whether this computer lets a test mount a small disk of its own."""
    if not shutil.which("unshare"):
        return False
    run = ["unshare", "--map-root-user", "--mount", "mount", "-t", "tmpfs", "none", "/mnt"]
    return subprocess.run(run, capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize(
    ("act", "room", "words"),
    [("photo", 60_000, NOT_STORED), ("facts", 200_000, NOT_STORED), ("backup", 40_000, NO_BACKUP)],
)
def test_when_a_disk_is_full_nothing_is_half_stored_and_all_goes_on_afterwards(
    template: Path, tmp_path: Path, act: str, room: int, words: str
) -> None:
    if not own_mounts():
        pytest.skip("A REAL FULL DISK WAS NOT TRIED: this computer lets no test mount a small disk")
    disk = tmp_path / "disk"
    disk.mkdir()
    folder = tmp_path / "workshop" if act == "backup" else disk / "workshop"
    mounted = 'mount -t tmpfs -o size=6m none "$1"; cp -r "$2" "$3"; shift 3; exec "$@"'
    prefix = ["unshare", "--map-root-user", "--mount", "sh", "-ec", mounted, "sh", str(disk), str(template)]
    run = [*prefix, str(folder), sys.executable, "-W", "error", "-c", ACT + FULL]
    first, facts, strays, second, after = answers([*run, str(folder), str(disk), act, str(room)])
    assert first.startswith("DiskFull There is no room left on the disk of ")
    assert words in first
    assert (facts, strays, second, after) == ("1", "[]", "done", "1")
