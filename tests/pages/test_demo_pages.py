"""The demo workshop's pages, with all that the shipped pack says, at phone and desk size."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from looking import DESK, PHONE, opened, probe, violations
from served import served

from powergood import bench
from powergood.record.model import GateAnswered


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[bench.Workshop, str]]:
    """The demo workshop, and where it is served."""
    ws = bench.demo.create(tmp_path_factory.mktemp("demo") / "workshop")
    with served(ws) as at:
        yield ws, at
    ws.close()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("place", ["", "machines", "open", "pad", "machine", "shelved", "closed"])
def test_a_page_of_the_demo_is_accessible_and_fits_its_screen(browser, demo, place, size):
    ws, at = demo
    board = bench.board(ws)
    job = board.open[0]
    addresses = {
        "open": f"jobs/{job.number}",
        "pad": f"jobs/{job.number}/pad",
        "machine": f"machines/{job.machine.tag}",
        "shelved": f"jobs/{board.shelved[0].number}",
        "closed": f"jobs/{board.closed[0].number}",
    }
    context = opened(browser, viewport=size)
    page = context.new_page()
    page.goto(f"{at}/{addresses.get(place, place)}")
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert violations(page) == []
    assert probe(page, "small-targets") == []
    assert probe(page, "weak-contrast") == []
    context.close()


def test_what_no_plan_can_average_below_rises_while_the_page_is_open(browser, demo):
    ws, at = demo
    number = bench.board(ws).open[0].number
    met = [GateAnswered(gate.gate, met=True) for gate in bench.job(ws, number).gates]
    bench.record(ws, number, met, key="all-gates-met")
    first = bench.job(ws, number).figures
    context = opened(browser, viewport=PHONE, nearing=True)
    page = context.new_page()
    page.goto(f"{at}/jobs/{number}")
    page.wait_for_selector("#near-figures:not([hx-get])", state="attached", timeout=60_000)
    words = bench.nearer(ws, number, 99)
    assert page.locator("#near-figures").text_content() == words.figures != first
    assert page.locator("#near-words").text_content() == words.words
    assert violations(page) == []
    context.close()
