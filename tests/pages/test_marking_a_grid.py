"""Marking bad cells in a real browser: by finger and by keyboard, with scripts and without, at two sizes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from grid_machine import grid_pack
from looking import DESK, PHONE, opened, violations
from playwright.sync_api import expect
from served import served

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.record.model import Finding


@pytest.fixture
def typewriter(tmp_path: Path) -> Iterator[tuple[Workshop, str]]:
    ws = Workshop.create(tmp_path / "workshop", library=Library([grid_pack()]))
    tag = bench.take_in(ws, TakeIn(name="Typewriter", sheet="typewriter"), key="t")
    bench.open_job(ws, tag, words="odd", wanted=("every-key",), key="j")
    with served(ws) as at:
        yield ws, at
    ws.close()


def _form(page, step: str):
    """Return the form of a step, unfolded where it is one of the other steps."""
    page.evaluate("for (const box of document.querySelectorAll('details')) box.open = true")
    return page.locator(f"form:has(input[name=step][value={step}])").first


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_cells_are_marked_by_tap_and_written_down(browser, typewriter, scripts, size) -> None:
    ws, at = typewriter
    page = opened(browser, viewport=size, java_script_enabled=scripts).new_page()
    page.goto(f"{at}/jobs/1")
    form = page.locator("form:has(input[name=step][value=press-keys])").first
    if not form.is_visible():
        folded = "details:not([open]):has(input[name=step][value=press-keys]) > summary"
        while page.locator(folded).count():
            page.locator(folded).first.click()
    for key in ("Q", "W", "E", "S"):
        form.locator("label", has_text=key).locator("visible=true").first.click()
    form.locator("label", has_text="S").locator("visible=true").first.click()
    if scripts:
        expect(form.locator("[data-marked]")).to_have_text(
            "So far: A whole line is dead: a line, row 2; 3 keys: Q, W, E."
        )
    form.get_by_role("button", name="Write down what is marked").click()
    expect(page.get_by_text("(a line, row 2; 3 keys: Q, W, E)").first).to_be_visible()
    (found,) = [fact.body for fact in ws.store.facts(job=1) if isinstance(fact.body, Finding)]
    assert found == Finding("press-keys", "line", cells=("Q", "W", "E"))


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_grid_breaks_no_rule_of_access_and_fits_its_page(browser, typewriter, size) -> None:
    _, at = typewriter
    page = opened(browser, viewport=size).new_page()
    for place in ("/jobs/1", "/jobs/1/pad"):
        page.goto(f"{at}{place}")
        page.evaluate("for (const box of document.querySelectorAll('details')) box.open = true")
        assert violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        for label in page.locator(".cells label").all():
            box = label.bounding_box()
            assert box
            assert min(box["width"], box["height"]) >= 24, "WCAG 2.2, target size (minimum)"


def test_a_cell_is_a_box_that_the_keyboard_reaches_and_a_reader_names(browser, typewriter) -> None:
    _, at = typewriter
    page = opened(browser, viewport=DESK).new_page()
    page.goto(f"{at}/jobs/1")
    form = _form(page, "press-keys")
    group = form.get_by_role("group", name="Mark every bad key")
    first = group.get_by_role("checkbox", name="1", exact=True)
    first.focus()
    page.keyboard.press("Space")
    expect(first).to_be_checked()
    page.keyboard.press("Tab")
    expect(group.get_by_role("checkbox", name="2", exact=True)).to_be_focused()
