"""What the page tests look with: sizes, a context that fails fast, accessibility rules, own probes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

HERE = Path(__file__).parent
PHONE = {"width": 412, "height": 915}
DESK = {"width": 1280, "height": 900}
AXE = (HERE / "vendor" / "axe.min.js").read_text(encoding="utf-8")


def opened(browser: Browser, *, nearing: bool = False, **args: Any) -> BrowserContext:
    """Return a browser context that fails fast.

    Without `nearing` the bench is not asked how near a plan is to the best: it would work on that for seconds
    in this very process after its page has been looked at, beside the tests that follow.
    """
    context = browser.new_context(**args)
    context.set_default_timeout(8_000)
    if not nearing:
        context.route("**/jobs/*/near/*", lambda route: route.fulfill(status=204))
    return context


def violations(page: Page) -> list[str]:
    """Return what the accessibility rules object to on a page."""
    page.evaluate(AXE)
    return probe(page, "accessibility")


def probe(page: Page, name: str) -> list[str]:
    """Return what the probe of that name, a function in `probes/`, finds wrong with a page."""
    found: list[str] = page.evaluate((HERE / "probes" / f"{name}.js").read_text(encoding="utf-8"))
    return found
