"""Commands are run in this process; a workshop of one machine and one job stands ready."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from powergood.bench import Workshop, open_job, take_in
from powergood.bench.intake_views import TakeIn
from powergood.cli.main import cli

Run = Callable[..., Result]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command line with the given words and return what came of it."""
    monkeypatch.delenv("POWERGOOD_WORKSHOP", raising=False)
    monkeypatch.delenv("POWERGOOD_WHO", raising=False)

    def run(*words: str | Path) -> Result:
        return CliRunner().invoke(cli, [str(word) for word in words], prog_name="powergood")

    return run


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A workshop with machine 1 and job 1, for its keys."""
    place = tmp_path / "workshop"
    workshop = Workshop.create(place)
    tag = take_in(workshop, TakeIn(name="Chart room laptop", sheet="brenlund-n480"), key="t")
    open_job(workshop, tag, words="No key works", complaint="no-keys", wanted=("types",), key="j")
    workshop.close()
    return place
