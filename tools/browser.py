"""A Chromium for the page tests: the system's own, the test library's download, or Debian's package.

Used by `do.py test`; standard library only.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

Say = Callable[[str], None]
WHERE_FETCHED = """
from playwright.sync_api import sync_playwright
with sync_playwright() as library:
    print(library.chromium.executable_path)
"""


def find_browser(python: Path, say: Say) -> str:
    """Return a Chromium that starts: the system's, the test library's, or Debian's; "" when none does.

    Says which it took, and what it tried before.
    """
    ways: tuple[tuple[str, Callable[[], str]], ...] = (
        ("the system's own", system_browser),
        ("the test library's download", lambda: fetched_by_library(python, say)),
        ("Debian's package", lambda: fetched_from_debian(say)),
    )
    for name, way in ways:
        path = way()
        if path and starts(path):
            say(f"Browser for the page tests: {name}, {path}")
            return path
        say(f"Browser for the page tests: {name} {'does not start' if path else 'is not there'}.")
    return ""


def system_browser() -> str:
    """Return the path of a Chromium or its kin on this system, or ""."""
    names = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
    places = (
        "/Applications/Chromium.app/Contents/MacOS/Chromium",
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
        r"C:\Program Files\Google\Chrome\Application\chrome.exe",
        r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
    )
    found = (shutil.which(name) for name in names)
    return next((path for path in found if path), "") or next((p for p in places if Path(p).exists()), "")


def fetched_by_library(python: Path, say: Say) -> str:
    """Return the test library's own Chromium, fetched now if need be; "" when it cannot be had."""
    if not try_command(
        "fetching a browser", [str(python), "-m", "playwright", "install", "chromium"], 300, say
    ):
        return ""
    asked = subprocess.run([python, "-c", WHERE_FETCHED], capture_output=True, text=True)
    return asked.stdout.strip() if Path(asked.stdout.strip() or "?").exists() else ""


def fetched_from_debian(say: Say) -> str:
    """Return Debian's Chromium, installed now where this may; else ""."""
    apt = shutil.which("apt-get")
    if not apt or os.name == "nt" or os.geteuid() != 0:
        return ""
    try_command("apt-get update", [apt, "update"], 120, say)
    package = [apt, "install", "--yes", "--no-install-recommends", "chromium"]
    return system_browser() if try_command("apt-get install chromium", package, 300, say) else ""


def try_command(what: str, command: list[str], seconds: int, say: Say) -> bool:
    """Run `command`, saying so first and its last words when it fails; return whether it worked."""
    say(f"  {what} ...")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=seconds, env=environment)
    except (OSError, subprocess.TimeoutExpired) as error:
        say(f"  that failed: {error}")
        return False
    if done.returncode:
        lines = (done.stderr + done.stdout).strip().splitlines() or ["it said nothing"]
        say("  that failed: " + next((line for line in lines if "rror" in line), lines[-1]).strip())
    return done.returncode == 0


def starts(browser: str) -> bool:
    """Say whether `browser` can show an empty page."""
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", "about:blank"]
    try:
        return b"<html" in subprocess.run([browser, *flags], capture_output=True, timeout=60).stdout
    except (OSError, subprocess.TimeoutExpired):
        return False
