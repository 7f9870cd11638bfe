"""The demo workshop: the bench of a small harbour museum, with four invented machines in four states.

One has just been told to have a dark screen and waits for a newcomer; the others show a finished job, a
job that rests with the machine open, and a machine that nobody has looked at yet. What is wrong with the
first is not written in the workshop; the tutorial tells it.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from shutil import rmtree

from powergood.bench.demo_machines import dredger_office, ferry_desk, lightship, pilot_station
from powergood.bench.workshop import Clock, Workshop, utc_now
from powergood.errors import WorkshopError
from powergood.store.layout import DATABASE_NAME


class Evenings:
    """A clock for things that happened on past evenings; it goes on by a minute each time it is read."""

    def __init__(self, today: datetime) -> None:
        self._today = today
        self._now = today

    def __call__(self) -> datetime:
        """Return the moment, a minute after the last one, and never after today."""
        self._now = min(self._now + timedelta(minutes=1), self._today)
        return self._now

    def turn_to(self, days_ago: int, hour: int = 19) -> None:
        """Set the clock to an hour of an evening some days ago."""
        day = self._today - timedelta(days=days_ago)
        self._now = day.replace(hour=hour, minute=0, second=0, microsecond=0)


def create(folder: Path, *, clock: Clock = utc_now) -> Workshop:
    """Make the demo workshop in an empty or missing folder and open it.

    Raises
    ------
    WorkshopError : the folder holds something already, or cannot be written.
    """
    if not ensure(folder, clock=clock):
        raise WorkshopError(f"There is a workshop in {folder} already; it was left as it is.")
    return Workshop.open(folder, clock=clock)


def ensure(folder: Path, *, clock: Clock = utc_now) -> bool:
    """Make the demo workshop unless there is a workshop in `folder`; tell whether it was made.

    It is made beside its place and moved there whole, so that a broken start leaves no half of it.

    Raises
    ------
    WorkshopError : the folder holds something else, or cannot be written.
    """
    folder = Path(folder)
    if (folder / DATABASE_NAME).exists():
        return False
    _refuse_full(folder)
    making = folder.with_name(f"{folder.name}.making")
    try:
        rmtree(making, ignore_errors=True)
        _fill(making, Evenings(clock()))
        with suppress(FileNotFoundError):
            folder.rmdir()
        making.rename(folder)
    except OSError as error:
        raise WorkshopError(
            f"The demo workshop could not be made in {folder}: {error.strerror}. Choose another folder."
        ) from error
    finally:
        rmtree(making, ignore_errors=True)
    return True


def _refuse_full(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise WorkshopError(f"{folder} is a file, not a folder. Choose another name for the demo workshop.")
    if folder.is_dir() and any(folder.iterdir()):
        raise WorkshopError(
            f"The folder {folder} is not empty and holds no workshop. Choose an empty folder."
        )


def _fill(folder: Path, evenings: Evenings) -> None:
    workshop = Workshop.create(folder, clock=evenings)
    try:
        evenings.turn_to(41)
        ferry_desk(workshop, evenings.turn_to)
        evenings.turn_to(23)
        dredger_office(workshop, evenings.turn_to)
        evenings.turn_to(3)
        lightship(workshop)
        evenings.turn_to(1)
        pilot_station(workshop)
    finally:
        workshop.close()
