"""A job's page on a phone: what is needed now comes first, the rest folds, and nothing is lost by it."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from looking import DESK, PHONE, opened
from playwright.sync_api import Locator, Page, expect
from served import served

from powergood import bench
from powergood.bench.intake_views import TakeIn
from powergood.record.model import Finding, GateAnswered

PARTS = [
    "Cutaway",
    "Suspect now",
    "What should work at the end",
    "The record",
    "Leave it for now, or for good",
]
TALLEST = 3_700


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[bench.Workshop, str]]:
    """The demo workshop, and where it is served."""
    ws = bench.demo.create(tmp_path_factory.mktemp("folds") / "workshop")
    with served(ws) as at:
        yield ws, at
    ws.close()


def _part(page: Page, title: str) -> Locator:
    return page.locator("details[data-fold]", has=page.get_by_role("heading", name=title, exact=True))


def _height(page: Page) -> int:
    height: int = page.evaluate("document.documentElement.scrollHeight")
    return height


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_a_job_on_a_phone_is_short_and_begins_with_what_is_needed_now(browser, demo, scripts):
    ws, at = demo
    number = bench.board(ws).open[0].number
    page = opened(browser, viewport=PHONE, java_script_enabled=scripts).new_page()
    page.goto(f"{at}/jobs/{number}")
    assert _height(page) <= TALLEST
    suspects = bench.job(ws, number).suspects
    expect(page.locator(".glance")).to_contain_text(suspects[0].title)
    tops = [
        page.locator(each).bounding_box()["y"] for each in ("#gates", ".glance", ".adding", "#the-record")
    ]
    assert tops == sorted(tops)
    for title in PARTS:
        expect(_part(page, title).locator("> .inside")).to_be_hidden()
        _part(page, title).locator("> summary").click()
        expect(_part(page, title).locator("> .inside")).to_be_visible()
    page.context.close()


@pytest.mark.parametrize("scripts", [True, False], ids=["script", "no-script"])
def test_on_a_desk_and_on_paper_every_part_is_open(browser, demo, scripts):
    ws, at = demo
    number = bench.board(ws).open[0].number
    page = opened(browser, viewport=DESK, java_script_enabled=scripts).new_page()
    page.goto(f"{at}/jobs/{number}")
    for title in PARTS:
        expect(_part(page, title).locator("> .inside > *").first).to_be_visible()
    expect(page.locator(".glance")).to_be_hidden()
    page.set_viewport_size(PHONE)
    page.goto(f"{at}/jobs/{number}")
    expect(_part(page, "The record").locator("> .inside")).to_be_hidden()
    page.emulate_media(media="print")
    for title in PARTS:
        expect(_part(page, title).locator("> .inside > *").first).to_be_visible()
    page.context.close()


def test_an_opened_part_stays_open_over_an_answer_and_over_another_page(browser, fresh):
    ws, at = fresh
    tag = bench.take_in(ws, TakeIn(name="Laptop", sheet="skerry-20"), key="t")
    bench.open_job(ws, tag, words="dark", complaint="dark", key="j")
    bench.record(ws, 1, (GateAnswered("cells-seen", True, "none"), Finding("power-lamp", "good")), key="g")
    page = opened(browser, viewport=PHONE).new_page()
    page.goto(f"{at}/jobs/1")
    for title in ("Suspect now", "The record"):
        _part(page, title).locator("> summary").click()
    page.locator(".card .outcome").first.click()
    expect(page.locator(".said")).to_contain_text("Written down:")
    for title, visible in (("Suspect now", True), ("The record", True), ("Cutaway", False)):
        expect(_part(page, title).locator("> .inside")).to_be_visible(visible=visible)
    _part(page, "The record").locator("> summary").click()
    page.goto(f"{at}/machines")
    page.goto(f"{at}/jobs/1")
    for title, visible in (("Suspect now", True), ("The record", False)):
        expect(_part(page, title).locator("> .inside")).to_be_visible(visible=visible)
    page.context.close()


def test_a_link_to_a_folded_part_opens_it(browser, demo):
    ws, at = demo
    number = bench.board(ws).open[0].number
    page = opened(browser, viewport=PHONE).new_page()
    page.goto(f"{at}/jobs/{number}")
    page.get_by_role("navigation", name="On this page").get_by_role("link", name="Record").click()
    expect(_part(page, "The record").locator("> .inside")).to_be_visible()
    expect(_part(page, "The record")).to_be_in_viewport()
    page.goto(f"{at}/jobs/{number}#ending")
    expect(page.get_by_text(re.compile("Stop: stabilise"))).to_be_visible()
    page.context.close()


def test_a_form_that_must_be_mended_is_open_where_it_stands(browser, demo):
    ws, at = demo
    number = bench.board(ws).open[0].number
    page = opened(browser, viewport=PHONE).new_page()
    page.goto(f"{at}/jobs/{number}")
    _part(page, "Leave it for now, or for good").locator("> summary").click()
    page.get_by_text("Put it on the shelf", exact=True).first.click()
    page.get_by_role("button", name="Put it on the shelf").click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_role("alert")).to_be_focused()
    page.context.close()
