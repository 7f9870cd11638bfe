"""A real browser at a real workshop's pages; skipped loudly where there is no browser."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from powergood import bench
from powergood.bench import Workshop, modelsheets
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.bench.step_views import StepAnswer
from powergood.record.model import (
    Finding,
    FixDone,
    GateAnswered,
    Note,
    Opened,
    PartFrom,
    PartOut,
    SignedOff,
    TookMinutes,
)

HERE = Path(__file__).parent
for folder in (HERE, HERE.parent / "web"):
    sys.path.insert(0, str(folder))
from little_machine import little_pack  # noqa: E402
from served import served  # noqa: E402

expect.set_options(timeout=20_000)
"""A machine that does other work besides must not fail a page; what never comes still fails."""

ARGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Launch the system's Chromium, or the one that POWERGOOD_CHROMIUM names."""
    found = (
        os.environ.get("POWERGOOD_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    )
    if not found:
        pytest.skip("NO BROWSER: the page tests did not run. Install Chromium, or set POWERGOOD_CHROMIUM.")
    return {**browser_type_launch_args, "executable_path": found, "args": ARGS}


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A workshop with something true on every page: job 1 in full swing, 2 resting, 3 just begun."""
    ws = Workshop.create(tmp_path_factory.mktemp("pages") / "workshop", library=Library([little_pack()]))
    tags = [
        bench.take_in(ws, TakeIn(name=name, sheet=sheet, place=place), key=name, who="Ansa")
        for name, sheet, place in (
            ("Harbour office laptop", "skerry-20", "shelf 3"),
            ("Ferry ticket machine", "little", "shelf 1"),
            ("Survey portable", "skerry-20", "bench"),
            ("Spare portable", "little", "loft"),
        )
    ]
    for tag, words, complaint in zip(
        tags, ("it runs but the screen is black", "dead", "", ""), ("dark", "dead", "", ""), strict=True
    ):
        if tag != tags[3]:
            bench.open_job(ws, tag, words=words, complaint=complaint, key=f"job {tag}", who="Ansa")
    met = GateAnswered("cells-seen", True, "looked under the hatch")
    bench.record(ws, 1, (met, Opened("hatch"), Note("Crust at one corner of the pack.")), key="a", who="Ansa")
    bench.save_start(
        ws, 1, [Finding("how-far", "picture"), Finding("power-lamp", "good")], key="b", who="Ansa"
    )
    bench.answer(ws, 1, StepAnswer("torch", "good", sure=False, note="very faint"), key="c")
    bench.record(ws, 1, (PartOut("memory.2", "memory.2"),), key="d")
    job = bench.job(ws, 1)
    bench.withdraw(ws, 1, job.record[-1].fact, "it was module 1", key="e", who="Ansa")
    bench.shelve(ws, 2, "a part", "the 16 V adapter", key="f", who="Ansa")
    _closed(ws, tags[3])
    bench.prefer(ws, {"hour": "15", "limit_minutes": "2"}, key="g", who="Ansa")
    modelsheets.make_sheet(ws, "skerry-20", title="Harbour copy")
    yield ws
    ws.close()


def _closed(ws: Workshop, tag: str) -> None:
    """Open a job on a machine, mend its adapter and sign it off, so that there is something learned."""
    number = bench.open_job(ws, tag, words="dead", key="closed job", who="Ansa")
    done = (
        GateAnswered("cells-seen", True, "none in it"),
        Finding("power-lamp", "bad"),
        FixDone("change-adapter", "adapter", "adapter/2"),
        TookMinutes(10, ("fix:change-adapter",)),
        PartFrom("adapter/2", "the drawer"),
        Finding("power-lamp", "good"),
        SignedOff("the rest is for another day", ("picture",)),
    )
    bench.record(ws, number, done, key="closed", who="Ansa")


@pytest.fixture(scope="session")
def address(shelf: Workshop) -> Iterator[str]:
    """Where those pages are served."""
    with served(shelf) as at:
        yield at


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[tuple[Workshop, str]]:
    """An empty workshop of a test's own, and where it is served."""
    ws = Workshop.create(tmp_path / "workshop", library=Library([little_pack()]))
    with served(ws) as at:
        yield ws, at
    ws.close()
