"""The demo workshop has something true to show on every page, and its own facts are never touched."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from powergood.bench import Workshop, board, demo, job, machine
from powergood.bench import demo as demo_module
from powergood.errors import WorkshopError
from powergood.record.model import Finding, FixDone, GateAnswered
from powergood.store import Store

TODAY = datetime(2026, 5, 6, 20, 0, tzinfo=UTC)


def today() -> datetime:
    return TODAY


@pytest.fixture(scope="module")
def museum(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    workshop = demo.create(tmp_path_factory.mktemp("demo") / "museum", clock=today)
    yield workshop
    workshop.close()


def test_four_machines_stand_in_four_states(museum: Workshop) -> None:
    seen = board(museum)
    assert [card.machine.name for card in seen.open] == ["Pilot station laptop"]
    assert [card.waits_for for card in seen.shelved] == ["a part"]
    assert [card.standing for card in seen.closed] == ["signed off"]
    assert {card.name for card in seen.idle if not machine(museum, card.tag).jobs} == {
        "Lightship radio room laptop"
    }


def test_the_main_job_has_its_complaint_told_and_nothing_else(museum: Workshop) -> None:
    view = job(museum, board(museum).open[0].number)
    assert view.complaint == "The screen stays black but I hear it starting"
    assert not any(gate.met for gate in view.gates)
    assert view.next is not None
    assert view.next.kind == "gate"
    bodies = [fact.body for fact in museum.store.facts(job=view.number)]
    assert not any(isinstance(body, Finding | FixDone | GateAnswered) for body in bodies)


def test_the_workshop_does_not_tell_what_is_wrong_with_the_main_machine(museum: Workshop) -> None:
    tag = board(museum).open[0].machine.tag
    told = " ".join(line.sentence.lower() for line in machine(museum, tag).record)
    assert "inverter" not in told
    assert "standby" not in told
    assert "leaked" not in told


def test_the_finished_job_is_proven_by_its_own_record(museum: Workshop) -> None:
    view = job(museum, board(museum).closed[0].number)
    assert {state.standing for state in view.functions} == {"proven"}
    assert view.bench.open == ()


def test_the_resting_job_shows_an_open_machine_with_a_part_out(museum: Workshop) -> None:
    view = job(museum, board(museum).shelved[0].number)
    assert view.bench.parts_out == ("Disk",)
    assert view.cutaway.depth > 0
    assert view.suspects[0].name == "keyboard.track-broken"


def test_photos_are_there_and_nothing_happened_after_today(museum: Workshop) -> None:
    photos = [photo for fact in board(museum).idle for photo in machine(museum, fact.tag).photos]
    assert photos
    assert all(museum.store.photo_path(photo.digest, thumb=True).is_file() for photo in photos)
    assert max(fact.written_at for fact in museum.store.facts()) <= "2026-05-06T20:00:00Z"


def test_a_second_start_leaves_every_fact_as_it_is(museum: Workshop) -> None:
    before = museum.store.facts()
    assert demo.ensure(museum.store.folder) is False
    assert museum.store.facts() == before
    with pytest.raises(WorkshopError, match="already"):
        demo.create(museum.store.folder)


def test_a_workshop_of_ones_own_is_not_filled(tmp_path: Path) -> None:
    Store.create(tmp_path / "own").close()
    assert demo.ensure(tmp_path / "own") is False
    with Store.open(tmp_path / "own") as store:
        assert store.facts() == ()


def test_a_folder_with_something_else_in_it_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("Dear harbour")
    with pytest.raises(WorkshopError, match="not empty"):
        demo.ensure(tmp_path)
    with pytest.raises(WorkshopError, match="is a file"):
        demo.ensure(tmp_path / "letters.txt")
    assert (tmp_path / "letters.txt").read_text() == "Dear harbour"


def test_a_broken_start_leaves_no_half_workshop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(demo_module, "pilot_station", broken)
    with pytest.raises(WorkshopError, match="No space left"):
        demo.ensure(tmp_path / "museum")
    assert list(tmp_path.iterdir()) == []
