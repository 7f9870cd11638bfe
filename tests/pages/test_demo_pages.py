"""The demo workshop's pages, with all that the shipped pack says, at phone and desk size."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from looking import DESK, PHONE, opened, probe, violations
from served import served

from powergood import bench


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
