"""Many who write at the same moment: threads of one program, and programs beside each other."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from powergood.errors import WorkshopError
from powergood.record import Draft, Fact
from powergood.record import model as m
from powergood.store import Store
from powergood.store.lock import WriteLock

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}

SAME_KEYS = """
import sys
from pathlib import Path
from powergood.record import Draft
from powergood.record.model import JobOpened, Note, TakenIn
from powergood.store import Store
store = Store.open(Path(sys.argv[1]), patience_s=60)
print("ready", flush=True)
sys.stdin.readline()
for n in range(int(sys.argv[2])):
    facts = store.append([
        Draft(TakenIn(f"T{n}", "x", "s"), f"take{n}"),
        Draft(JobOpened("j"), f"open{n}", (f"T{n}",)),
        Draft(Note("x"), f"note{n}", (f"T{n}",)),
    ])
    print(*(f"{fact.number}/{fact.draft.job}" for fact in facts), flush=True)
store.close()
"""


def child(source: str, *arguments: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", source, *map(str, arguments)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=ENVIRONMENT,
    )


def at_once(tasks: list[Callable[[], tuple[Fact, ...]]]) -> list[tuple[Fact, ...]]:
    gate = threading.Barrier(len(tasks))

    def run(task: Callable[[], tuple[Fact, ...]]) -> tuple[Fact, ...]:
        gate.wait()
        return task()

    with ThreadPoolExecutor(len(tasks)) as pool:
        return list(pool.map(run, tasks))


def test_one_form_sent_by_two_devices_at_once_is_one_fact(store: Store) -> None:
    for n in range(30):
        draft = Draft(m.Note("x"), f"k{n}")
        answers = at_once([lambda draft=draft: store.append([draft])] * 4)  # type: ignore[misc]
        assert len(set(answers)) == 1
    assert len(store.facts()) == 30


def test_jobs_opened_at_once_get_numbers_of_their_own(store: Store) -> None:
    store.append([Draft(m.TakenIn("1", "x", "s"), "take")])
    answers = at_once(
        [lambda n=n: store.append([Draft(m.JobOpened("j"), f"open{n}", ("1",))]) for n in range(8)]  # type: ignore[misc]
    )
    assert sorted(facts[0].draft.job for facts in answers) == list(range(1, 9))


def test_two_stores_on_one_folder_in_one_program_share_the_lock(store: Store, folder: Path) -> None:
    with Store.open(folder) as other:
        both = [store, other]
        answers = at_once(
            [lambda n=n: both[n % 2].append([Draft(m.Note(str(n)), f"k{n}")]) for n in range(8)]  # type: ignore[misc]
        )
        assert len({facts[0].number for facts in answers}) == 8
        assert other.facts() == store.facts()


def test_three_programs_that_read_and_then_write_the_same_keys_make_each_fact_once(
    store: Store, folder: Path
) -> None:
    # An append reads keys, tags and job numbers before it writes. In a deferred transaction that fails at
    # once with "database is locked" when another has written in between (https://sqlite.org/isolation.html).
    rounds = 40
    programs = [child(SAME_KEYS, folder, rounds) for _ in range(3)]
    for program in programs:
        assert program.stdout
        assert program.stdout.readline() == "ready\n"
    for program in programs:
        assert program.stdin
        program.stdin.write("go\n")
        program.stdin.flush()
    answers = [program.communicate()[0].splitlines() for program in programs]
    assert [program.returncode for program in programs] == [0, 0, 0]
    assert answers[0] == answers[1] == answers[2]
    assert len(answers[0]) == rounds
    assert len(store.facts()) == 3 * rounds
    assert list(store.jobs()) == list(range(1, rounds + 1))


HOLDS = """
import sys
from pathlib import Path
from powergood.store.lock import WriteLock
with WriteLock(Path(sys.argv[1])).held():
    print("held", flush=True)
    sys.stdin.readline()
"""


def test_a_folder_another_program_is_writing_in_is_said_to_be_so_and_is_free_again_after(
    store: Store, folder: Path
) -> None:
    holder = child(HOLDS, folder)
    assert holder.stdout
    assert holder.stdin
    assert holder.stdout.readline() == "held\n"
    hasty = Store(folder, store._engine, WriteLock(folder, patience_s=0.02), store.clock)
    with pytest.raises(WorkshopError, match=r"Another program is writing .* Nothing was changed\. Wait"):
        hasty.append([Draft(m.Note("x"), "k")])
    with pytest.raises(WorkshopError, match="Another program is writing"):
        Store.open(folder, patience_s=0.02)
    assert store.facts() == ()
    holder.communicate("done\n")
    assert len(hasty.append([Draft(m.Note("x"), "k")])) == 1


def test_a_program_killed_while_it_holds_the_lock_does_not_keep_it(store: Store, folder: Path) -> None:
    holder = child(HOLDS, folder)
    assert holder.stdout
    assert holder.stdout.readline() == "held\n"
    holder.kill()
    holder.communicate()
    assert len(store.append([Draft(m.Note("x"), "k")])) == 1


def test_a_thread_that_waits_too_long_for_another_is_told(folder: Path) -> None:
    folder.mkdir()
    with (
        WriteLock(folder).held(),
        ThreadPoolExecutor(1) as pool,
        pytest.raises(WorkshopError, match="Another program is writing"),
    ):
        pool.submit(lambda: WriteLock(folder, patience_s=0.02).held().__enter__()).result()


def test_the_book_can_be_read_while_another_writes(store: Store) -> None:
    store.append([Draft(m.Note("x"), "k")])
    with store._write():
        assert len(store.facts()) == 1
