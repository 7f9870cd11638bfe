"""First power in a real browser: by finger and keyboard, with scripts and without, at two sizes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from looking import DESK, PHONE, opened, violations
from playwright.sync_api import expect
from served import served

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.intake_views import TakeIn
from powergood.record.model import GateAnswered


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A desktop whose gates are met, but for the one that its first stage proves: to copy, or to look at."""
    ws = Workshop.create(tmp_path_factory.mktemp("begun") / "workshop")
    tag = bench.take_in(ws, TakeIn(name="Desk", sheet="torrolf-433"), key="t")
    bench.open_job(ws, tag, words="dead", complaint="dead", wanted=("holds",), key="j")
    gates = [gate.gate for gate in bench.job(ws, 1).gates if gate.gate != "supply-proven"]
    bench.record(ws, 1, [GateAnswered(gate, True) for gate in gates], key="g")
    yield ws
    ws.close()


@pytest.fixture(scope="module")
def begun_at(begun: Workshop) -> Iterator[str]:
    """Where it is served; nothing is written there."""
    with served(begun) as at:
        yield at


@pytest.fixture
def desktop(begun: Workshop, tmp_path: Path) -> Iterator[tuple[Workshop, str]]:
    """The same desktop, in a workshop of the test's own."""
    shutil.copytree(begun.store.folder, tmp_path / "workshop")
    ws = Workshop.open(tmp_path / "workshop", library=begun.library)
    with served(ws) as at:
        yield ws, f"{at}/jobs/1"
    ws.close()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_a_stage_is_read_done_and_followed_by_the_next(browser, desktop, scripts, size) -> None:
    page = opened(browser, viewport=size, java_script_enabled=scripts).new_page()
    page.goto(desktop[1])
    section = page.locator(".first-power")
    section.get_by_label("5 V rail", exact=False).first.fill("5.02")
    section.get_by_label("12 V rail", exact=False).first.fill("12.58 V")
    section.get_by_role("button", name="Keep the readings").click()
    verdicts = section.locator(".verdict")
    expect(verdicts.get_by_text("inside its limits")).to_be_visible()
    expect(verdicts.get_by_text("too near to tell")).to_be_visible()
    section.locator("form[action$='/stage/done'] input[type=checkbox]").check()
    section.get_by_label("How, in a few words").fill("a second meter says 12.5")
    section.get_by_role("button", name="This stage is done").click()
    expect(section.get_by_text("Stage 2 of 6")).to_be_visible()


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_stop_list_stands_open_in_big_words_and_the_rules_of_access_hold(
    browser, begun_at, size, scheme
) -> None:
    page = opened(browser, viewport=size, color_scheme=scheme).new_page()
    page.goto(f"{begun_at}/jobs/1")
    smoke = page.locator(".stop-if strong", has_text="Smoke")
    expect(smoke).to_be_visible()
    assert smoke.evaluate("e => parseFloat(getComputedStyle(e).fontSize)") >= 22
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_stopping_is_written_down_with_why_and_what_to_do(browser, desktop, scripts) -> None:
    ws, at = desktop
    page = opened(browser, viewport=PHONE, java_script_enabled=scripts).new_page()
    page.goto(at)
    section = page.locator(".first-power")
    section.get_by_text("I stopped: write down why").click()
    section.get_by_label("Smoke").check()
    section.get_by_label("Or in your words, and where").fill("by the inlet")
    section.get_by_role("button", name="Stopped").click()
    expect(section.locator(".caution-title", has_text="because: Smoke: by the inlet")).to_be_visible()
    assert not scripts or violations(page) == []
    assert not next(gate for gate in bench.job(ws, 1).gates if gate.gate == "line-filter-seen").met


def test_a_reading_that_is_none_is_shown_again_as_typed(browser, desktop) -> None:
    page = opened(browser, viewport=PHONE).new_page()
    page.goto(desktop[1])
    section = page.locator(".first-power")
    section.get_by_label("5 V rail", exact=False).first.fill("five")
    section.get_by_role("button", name="Keep the readings").click()
    expect(section.get_by_role("alert")).to_be_visible()
    expect(section.get_by_label("5 V rail", exact=False).first).to_have_value("five")


def test_a_stage_is_worked_by_keyboard_alone(browser, desktop) -> None:
    page = opened(browser, viewport=DESK).new_page()
    page.goto(desktop[1])
    page.get_by_label("5 V rail", exact=False).first.focus()
    page.keyboard.type("5.01")
    page.keyboard.press("Enter")
    expect(page.locator(".first-power .verdict").get_by_text("inside its limits")).to_be_visible()


@pytest.mark.parametrize("family", ["pata-laptop", "home-micro", "compact-all-in-one"])
def test_know_how_shows_the_stages_of_a_kind(browser, begun_at, family) -> None:
    page = opened(browser, viewport=PHONE).new_page()
    page.goto(f"{begun_at}/know-how/{family}/safety")
    expect(page.get_by_role("heading", name="First power, in stages")).to_be_visible()
    assert violations(page) == []


@pytest.mark.parametrize("read", ["4.30", "4.74"], ids=["short", "borderline"])
@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_the_verdict_and_what_to_do_next_stand_at_the_reading(browser, desktop, scripts, read) -> None:
    ws, at = desktop
    bench.note_readings(ws, 1, "supply-alone", {"five": "5.02", "twelve": "12.1"}, key="a")
    bench.finish_stage(ws, 1, "supply-alone", key="b")
    bench.note_readings(ws, 1, "board-ohms", {"five-ohms": "38", "twelve-ohms": "410"}, key="c")
    bench.finish_stage(ws, 1, "board-ohms", key="d")
    bench.finish_stage(ws, 1, "board-bare", key="e")
    page = opened(browser, viewport=PHONE, java_script_enabled=scripts).new_page()
    page.goto(at)
    section = page.locator(".first-power")
    section.get_by_label("5 V rail", exact=False).first.fill(read)
    section.get_by_label("12 V rail", exact=False).first.fill("11.9")
    section.get_by_role("button", name="Keep the readings").click()
    verdict = section.locator(".verdict").first
    expect(verdict).to_be_visible()
    expect(verdict).to_be_in_viewport()
    expect(section.get_by_text("Do not go on" if read == "4.30" else "Read it again")).to_be_visible()
    expect(page.locator("#said")).to_be_in_viewport()
