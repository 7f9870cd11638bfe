"""Real workshops in temporary folders, with a clock that a test sets."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from powergood.store import Store


class SetClock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.moment = datetime(2026, 11, 25, 9, 30, 0, 250_000, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.moment

    def forward(self, seconds: int) -> None:
        self.moment += timedelta(seconds=seconds)


@pytest.fixture
def clock() -> SetClock:
    return SetClock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "workshop"


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty workshop to copy, since making one takes longer than copying it."""
    made = tmp_path_factory.mktemp("template") / "workshop"
    Store.create(made, clock=SetClock()).close()
    return made


@pytest.fixture
def store(template: Path, folder: Path, clock: SetClock) -> Iterator[Store]:
    shutil.copytree(template, folder)
    with Store.open(folder, clock=clock) as opened:
        yield opened


@pytest.fixture
def reopened(store: Store, folder: Path, clock: SetClock) -> Callable[[], Store]:
    """Close the store and open it again, as after a restart."""

    def again() -> Store:
        store.close()
        return Store.open(folder, clock=clock)

    return again
