"""tools/browser.py: the three ways to a browser, tried in order, each said."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tools import browser  # (a script's own module: not installed)

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the stand-in programs are shell scripts")


def program(folder: Path, name: str, body: str) -> str:
    folder.mkdir(exist_ok=True)
    file = folder / name
    file.write_text(f"#!/bin/sh\n{body}\n")
    file.chmod(0o755)
    return str(file)


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that is the whole PATH, empty so far."""
    folder = tmp_path / "bin"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))
    return folder


def test_the_systems_browser_is_taken_first(path: Path) -> None:
    chromium = program(path, "chromium", "echo '<html><head></head></html>'")
    said: list[str] = []
    assert browser.find_browser(path / "no-python", said.append) == chromium
    assert said == [f"Browser for the page tests: the system's own, {chromium}"]


def test_a_browser_that_does_not_start_is_passed_over(path: Path, tmp_path: Path) -> None:
    program(path, "chromium", "exit 1")
    fetched = program(tmp_path / "fetched", "chrome", "echo '<html>'")
    python = program(tmp_path / "library", "python", f'[ "$1" = -m ] || echo {fetched}')
    said: list[str] = []
    assert browser.find_browser(Path(python), said.append) == fetched
    assert said[0] == "Browser for the page tests: the system's own does not start."
    assert said[-1] == f"Browser for the page tests: the test library's download, {fetched}"


def test_debians_package_is_the_last_way_where_it_may_be_installed(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    python = program(tmp_path / "library", "python", "echo no network >&2; exit 1")
    installs = f"""if [ "$1" = install ]; then
        printf '#!/bin/sh\\necho "<html>"\\n' > {path}/chromium; /bin/chmod 755 {path}/chromium
    fi"""
    program(path, "apt-get", installs)
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    said: list[str] = []
    assert browser.find_browser(Path(python), said.append) == str(path / "chromium")
    assert "  that failed: no network" in said
    assert said[-1].startswith("Browser for the page tests: Debian's package, ")


def test_debians_package_is_not_tried_without_the_right_to_install(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    python = program(tmp_path / "library", "python", "exit 1")
    program(path, "apt-get", f"echo tried > {tmp_path}/tried")
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    said: list[str] = []
    assert browser.find_browser(Path(python), said.append) == ""
    assert not (tmp_path / "tried").exists()
    assert said[-1] == "Browser for the page tests: Debian's package is not there."
