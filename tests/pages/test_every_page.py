"""Every page at phone and desk size, by day and by night, with and without JavaScript."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from looking import DESK, PHONE, opened, probe, violations

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


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pictures of the pages are left: POWERGOOD_PICTURES, or a temporary folder."""
    folder = Path(os.environ.get("POWERGOOD_PICTURES") or tmp_path_factory.mktemp("pictures"))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("scripts", "paper"),
    [(True, "day"), (True, "night"), (False, "day")],
    ids=["script-day", "script-night", "no-script"],
)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_accessible_fits_its_screen_and_logs_no_error(
    browser, shelf, address, pictures, name, scripts, size, paper
):
    tags = list(shelf.store.machines())
    scheme = "dark" if paper == "night" else "light"
    context = opened(browser, viewport=SIZES[size], color_scheme=scheme)
    if not scripts:  # what a browser without scripts would show, yet open to the accessibility rules
        context.route("**/*.js*", lambda route: route.abort())
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(_address(address, name, tags))
    page.screenshot(path=pictures / f"{name}-{size}-{paper}{'' if scripts else '-plain'}.png", full_page=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["width"]
    assert violations(page) == []
    assert [line for line in said if "404" not in line and "ERR_FAILED" not in line] == []
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_everything_to_press_on_a_phone_is_at_least_48_pixels_high(browser, shelf, address, name):
    context = opened(browser, viewport=PHONE, has_touch=True)
    page = context.new_page()
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "small-targets") == []
    context.close()


@pytest.mark.parametrize("name", ["job", "pad", "take-in", "family", "fault", "check", "safety"])
def test_text_on_a_phone_is_at_least_18_pixels_but_for_labels(browser, shelf, address, name):
    context = opened(browser, viewport=PHONE)
    page = context.new_page()
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "small-text") == []
    context.close()


@pytest.mark.parametrize("paper", ["light", "dark"])
@pytest.mark.parametrize("name", ["job", "pad", "machine", "family", "fault", "check", "safety"])
def test_text_stands_out_from_its_paper_by_seven_to_one(browser, shelf, address, name, paper):
    """WCAG 2.2, success criterion 1.4.6: a contrast ratio of at least 7:1, from computed colours."""
    context = opened(browser, viewport=DESK, color_scheme=paper)
    page = context.new_page()
    page.goto(_address(address, name, list(shelf.store.machines())))
    assert probe(page, "weak-contrast") == []
    context.close()
