"""A workshop in a temporary folder with a clock of its own; knowledge is the shipped pack, read once.

Many tests begin alike, so equal advice is worked out once for all of them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from powergood.bench import advising, open_job, take_in
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.bench.recording import write_down
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Advice, CompiledModel, Preferences, advise
from powergood.packs import builtin_pack
from powergood.record import Timeline
from powergood.record.model import GateAnswered

sys.path.insert(0, str(Path(__file__).parent))


class SteppingClock:
    """A clock that goes on by a minute each time it is read."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Return the next moment."""
        self.now += timedelta(minutes=1)
        return self.now


@pytest.fixture(scope="session")
def library() -> Library:
    """The shipped pack; shared, since composing and compiling are pure."""
    return Library((builtin_pack(),))


@pytest.fixture(scope="session", autouse=True)
def equal_advice_worked_out_once() -> Iterator[None]:
    """Let tests share advice: it is a pure function of machine and facts, whenever those were written."""
    kept: dict[object, tuple[CompiledModel, Advice]] = {}

    def shared(model: CompiledModel, line: Timeline, wants: Preferences) -> Advice:
        facts = tuple((fact.number, replace(fact.draft, key="", seen_at="")) for fact in line.facts)
        key = (id(model), facts, wants)
        if key not in kept:
            kept[key] = model, advise(model, line, wants)  # the model too, so that its id stays its own
        return kept[key][1]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(advising, "advise", shared)
        yield


@pytest.fixture
def ws(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """An empty workshop."""
    workshop = Workshop.create(tmp_path / "workshop", library=library, clock=SteppingClock())
    yield workshop
    workshop.close()


@pytest.fixture
def tag(ws: Workshop) -> str:
    """A machine that was taken in."""
    return take_in(ws, TakeIn(name="Chart room laptop", sheet="brenlund-n480"), key="take-in", who="keeper")


@pytest.fixture
def job_number(ws: Workshop, tag: str) -> int:
    """A job on it for its dark picture, nothing done yet."""
    words = "The screen stays black but I hear it starting"
    return open_job(
        ws, tag, words=words, complaint="no-picture-but-runs", wanted=("picture",), key="job", who="keeper"
    )


@pytest.fixture
def safe_job(ws: Workshop, job_number: int, library: Library) -> int:
    """The same job with every safety condition met."""
    gates = [GateAnswered(gate.id, True, "looked") for gate in library.known("brenlund-n480").model.gates]
    write_down(ws, job_number, gates, key="gates")
    return job_number
