"""Every page at phone and desk size, by day and by night, with and without JavaScript."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from looking import DESK, PHONE, opened, probe, violations
from playwright.sync_api import Browser, ConsoleMessage, Error, Page

PAGES = {
    "bench": "/",
    "machines": "/machines",
    "machines-found": "/machines?find=ferry",
    "take-in": "/machines/new",
    "machine": "/machines/{first}",
    "machine-idle": "/machines/{last}",
    "job": "/jobs/1",
    "job-resting": "/jobs/2",
    "job-begun": "/jobs/3",
    "pad": "/jobs/1/pad",
    "pad-held": "/jobs/3/pad",
    "complaint": "/jobs/3/complaint",
    "sign-off": "/jobs/1/sign-off",
    "what-if": "/jobs/1/what-if?check=torch&outcome=good",
    "taught": "/taught",
    "worth": "/worth",
    "not-there": "/jobs/999",
    "know-how": "/know-how",
    "know-how-found": "/know-how?find=dark+screen&kind=skerry-20",
    "know-how-nothing": "/know-how?find=zzqx",
    "family": "/know-how/little",
    "sheet": "/know-how/skerry-20",
    "sheet-read": "/know-how/skerry-20/sheet",
    "sheet-change": "/know-how/harbour-copy/sheet/change",
    "sheet-take-in": "/sheets/take-in",
    "fault": "/know-how/skerry-20/faults/inverter.failed",
    "check": "/know-how/skerry-20/checks/how-far",
    "safety": "/know-how/little/safety",
    "complaints": "/know-how/little/complaints",
    "known-complaint": "/know-how/little/complaints/dark",
    "complaint-asks": "/know-how/little/complaints/does-not-work",
}
SIZES = {"phone": PHONE, "desk": DESK}


def _address(at: str, name: str, tags: list[str]) -> str:
    return at + PAGES[name].format(first=tags[0], last=tags[-1])


def keep_picture(page: Page, name: str) -> None:
    """Leave a picture of the page in the folder that POWERGOOD_PICTURES names, where it names one."""
    folder = os.environ.get("POWERGOOD_PICTURES")
    if folder:
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


Look = Callable[..., Page]


@pytest.fixture(scope="module")
def look(browser: Browser) -> Iterator[Look]:
    """Return a function that gives a browser's page of a kind, the same each time: opening one takes longest.

    What is only looked at leaves nothing behind in it.
    """
    kept: dict[tuple[object, ...], Page] = {}

    def look(
        *, scripts: bool = True, size: str = "phone", scheme: str = "light", touch: bool = False
    ) -> Page:
        kind = (scripts, size, scheme, touch)
        if kind not in kept:
            context = opened(browser, viewport=SIZES[size], color_scheme=scheme, has_touch=touch)
            if not scripts:  # what a browser without scripts would show, yet open to the accessibility rules
                context.route("**/*.js*", lambda route: route.abort())
            kept[kind] = context.new_page()
        return kept[kind]

    yield look
    for page in kept.values():
        page.context.close()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("scripts", "paper"),
    [(True, "day"), (True, "night"), (False, "day")],
    ids=["script-day", "script-night", "no-script"],
)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_accessible_fits_its_screen_and_logs_no_error(
    look, shelf, address, name, scripts, paper, size
):
    page = look(scripts=scripts, size=size, scheme="dark" if paper == "night" else "light")
    said: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type == "error":
            said.append(message.text)

    def fail(error: Error) -> None:
        said.append(str(error))

    page.on("console", hear)
    page.on("pageerror", fail)
    page.goto(_address(address, name, list(shelf.store.machines())))
    keep_picture(page, f"{name}-{size}-{paper}{'' if scripts else '-plain'}")
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["width"]
    assert violations(page) == []
    page.remove_listener("console", hear)
    page.remove_listener("pageerror", fail)
    assert [line for line in said if "404" not in line and "ERR_FAILED" not in line] == []


@pytest.mark.parametrize("name", PAGES)
def test_everything_to_press_on_a_phone_is_at_least_48_pixels_high(look, shelf, address, name):
    page = look(touch=True)
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "small-targets") == []
    page.evaluate("document.querySelectorAll('details').forEach((each) => (each.open = true))")
    assert probe(page, "small-links") == []


@pytest.mark.parametrize("name", ["job", "pad", "take-in", "family", "fault", "check", "safety"])
def test_text_on_a_phone_is_at_least_18_pixels_but_for_labels(look, shelf, address, name):
    page = look()
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "small-text") == []


@pytest.mark.parametrize("paper", ["light", "dark"])
@pytest.mark.parametrize("name", ["job", "pad", "machine", "family", "fault", "check", "safety"])
def test_text_stands_out_from_its_paper_by_seven_to_one(look, shelf, address, name, paper):
    """WCAG 2.2, success criterion 1.4.6: a contrast ratio of at least 7:1, from computed colours."""
    page = look(size="desk", scheme=paper)
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "weak-contrast") == []
