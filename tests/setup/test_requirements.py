"""The locked requirements: every file held to a digest, no index named, true to pyproject.toml."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
KINDS = ("run", "dev")


def pins(kind: str) -> list[Requirement]:
    text = (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")
    joined = text.replace("\\\n", " ")
    lines = (re.split(r"\s+--hash", line)[0] for line in joined.splitlines() if not line.startswith("#"))
    return [Requirement(line) for line in lines if line.strip()]


def wanted(kind: str) -> list[Requirement]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    lines = list(project["project"]["dependencies"])
    if kind == "dev":
        lines += project["dependency-groups"]["dev"]
    return [Requirement(line) for line in lines]


def system(version: str, platform: str) -> dict[str, str]:
    names = {"linux": "Linux", "darwin": "Darwin", "win32": "Windows"}
    return {
        "python_version": version,
        "python_full_version": f"{version}.0",
        "sys_platform": platform,
        "platform_system": names[platform],
        "os_name": "nt" if platform == "win32" else "posix",
        "platform_machine": "AMD64" if platform == "win32" else "x86_64",
        "platform_python_implementation": "CPython",
        "implementation_name": "cpython",
    }


def applies(marker: Marker | None, where: dict[str, str]) -> bool:
    return marker is None or marker.evaluate(where)


@pytest.mark.parametrize("kind", KINDS)
def test_every_pin_is_exact_and_carries_digests(kind: str) -> None:
    text = (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")
    for block in re.split(r"\n(?=[a-z])", text.split("\n", 1)[1].strip()):
        assert re.match(r"[\w.-]+==[\w.]+", block), block
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", block), block


@pytest.mark.parametrize("kind", KINDS)
def test_no_index_or_address_is_named(kind: str) -> None:
    text = (ROOT / "requirements" / f"{kind}.txt").read_text(encoding="utf-8")
    assert not re.search(r"://|^\s*--(index|extra|find|trusted)|@ ", text, re.MULTILINE)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("version", ["3.11", "3.12", "3.13", "3.14"])
@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
def test_the_pins_answer_what_pyproject_asks_on_every_system(kind: str, version: str, platform: str) -> None:
    where = system(version, platform)
    locked = {pin.name.lower(): pin for pin in pins(kind) if applies(pin.marker, where)}
    assert len(locked) == sum(applies(pin.marker, where) for pin in pins(kind)), "a package is pinned twice"
    for need in wanted(kind):
        if applies(need.marker, where):
            pin = next(iter(locked[need.name.lower()].specifier))
            assert need.specifier.contains(pin.version), f"{need} is locked at {pin.version}: lock again"


def test_the_tests_run_on_the_very_packages_that_the_program_ships_with() -> None:
    assert {str(pin) for pin in pins("run")} <= {str(pin) for pin in pins("dev")}
