"""Cautions at a step: all in sight, on a phone folded to what they begin with, but for what can kill."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from looking import DESK, PHONE, opened, violations
from playwright.sync_api import expect
from served import served

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.intake_views import TakeIn
from powergood.record.model import CannotDo, Finding, GateAnswered
from powergood.web.phrases import begun

FIX = "resolder-heavy-joints"
IN_SIGHT = "e => { const b = e.getBoundingClientRect(); return b.width > 30 && b.height > 15 }"


@pytest.fixture
def compact(tmp_path: Path) -> Iterator[tuple[Workshop, str]]:
    """A compact with a picture tube, its safety conditions met, and one fix that can be done here."""
    ws = Workshop.create(tmp_path / "workshop")
    tag = bench.take_in(ws, TakeIn(name="Quay compact", sheet="hallenby-pica-3"), key="t")
    bench.open_job(ws, tag, words="dark", key="j")
    model = ws.library.known("hallenby-pica-3").model
    kept = [FIX, "pad-image"]
    bench.record(
        ws,
        1,
        [
            *(GateAnswered(gate.id, True) for gate in model.gates),
            *(CannotDo(each.id) for each in (*model.checks, *model.fixes) if each.id not in kept),
        ],
        key="g",
    )
    bench.record(ws, 1, [Finding("pad-light", "full-frame")], key="f")  # a line: of the joints, likely
    bench.job(ws, 1)  # worked out before a page waits for it
    with served(ws) as at:
        yield ws, f"{at}/jobs/1"
    ws.close()


def card(page, address):
    """Return the card of the fix, unfolded."""
    page.goto(address)
    found = page.locator("details.other", has=page.locator(f"input[value='{FIX}']"))
    if not found.count():
        return page.locator("section.card")
    others = page.locator("details[data-fold=others]:not([open]) > summary")
    if others.count():
        others.click()
    found.locator("summary").first.click()
    return found


def test_what_can_kill_stands_whole_on_a_phone_and_every_other_caution_by_what_it_begins_with(
    browser, compact
) -> None:
    ws, address = compact
    page = opened(browser, viewport=PHONE).new_page()
    step = card(page, address)
    view = bench.job(ws, 1)
    told = next(each for each in (view.next, *view.steps) if each and each.step == FIX)
    assert len(told.cautions) >= 5
    deadly = [each for each in told.cautions if each.deadly]
    assert {each.caution for each in deadly} == {"tube-voltage", "mains-supply"}
    assert told.cautions[: len(deadly)] == tuple(deadly)
    for each in told.cautions:
        box = step.locator(".caution", has_text=each.title)
        expect(box.locator(".caution-title")).to_be_visible()
        assert begun(each.words)[0] in box.inner_text()
        folded = box.locator(".rest").count() > 0 and not box.locator(".rest").evaluate(IN_SIGHT)
        assert folded == (not each.deadly and begun(each.words)[1] != ""), each.caution
    assert violations(page) == []


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_a_tap_anywhere_on_a_folded_caution_or_the_space_bar_shows_all_of_it(
    browser, compact, scripts
) -> None:
    page = opened(browser, viewport=PHONE, java_script_enabled=scripts).new_page()
    step = card(page, compact[1])
    glass, edges = (
        step.locator(".caution", has_text=words) for words in ("Glass of the tube", "Brittle clips")
    )
    assert not glass.locator(".rest").evaluate(IN_SIGHT)
    glass.click(position={"x": 150, "y": 12})
    assert glass.locator(".rest").evaluate(IN_SIGHT)
    edges.get_by_role("checkbox", name=re.compile("All of it *: Brittle clips")).press("Space")
    assert edges.locator(".rest").evaluate(IN_SIGHT)


def test_folded_cautions_take_less_than_two_thirds_of_their_room(browser, compact) -> None:
    page = opened(browser, viewport=PHONE).new_page()
    folds = card(page, compact[1]).locator(".folds")
    heights = "all => all.reduce((sum, each) => sum + each.offsetHeight, 0)"
    folded = folds.evaluate_all(heights)
    folds.locator("input").evaluate_all("all => all.forEach(each => each.click())")
    assert folded < 0.67 * folds.evaluate_all(heights)


@pytest.mark.parametrize("on", ["desk", "paper"])
def test_on_a_desk_and_on_paper_nothing_is_folded(browser, compact, on) -> None:
    page = opened(browser, viewport=DESK if on == "desk" else PHONE).new_page()
    step = card(page, compact[1])
    if on == "paper":
        page.emulate_media(media="print")
    rests = step.locator(".rest")
    assert rests.count() >= 3
    assert all(each.evaluate(IN_SIGHT) for each in rests.all())
    assert not step.locator(".unfold").first.is_visible()
