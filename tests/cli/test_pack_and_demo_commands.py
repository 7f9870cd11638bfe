"""Checking a pack, and making the demo workshop, from the command line."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from click.testing import Result

from powergood.packs.locate import BUILTIN

Run = Callable[..., Result]


def test_the_shipped_pack_has_no_mistakes(run: Run) -> None:
    done = run("pack", "check", BUILTIN)
    assert done.exit_code == 0
    assert "no mistakes" in done.output


def test_every_mistake_of_a_pack_is_told_with_its_place(run: Run, tmp_path: Path) -> None:
    broken = tmp_path / "pack"
    shutil.copytree(BUILTIN, broken)
    sheet = broken / "sheets" / "brenlund-n480.yaml"
    sheet.write_text(
        sheet.read_text()
        .replace("family: pata-laptop", "family: no-such")
        .replace("year: 1996", "year: soon")
    )
    done = run("pack", "check", broken)
    assert done.exit_code == 2
    assert "brenlund-n480.yaml:" in done.stderr
    assert done.stderr.count("error: ") >= 1
    assert "mistake" in done.stderr


def test_the_demo_is_made_once(run: Run, tmp_path: Path) -> None:
    first = run("demo", tmp_path / "museum")
    assert first.exit_code == 0
    assert "is made" in first.output
    second = run("demo", tmp_path / "museum")
    assert "there already" in second.output
    assert "Pilot station laptop" in run("machine", "list", "--workshop", tmp_path / "museum").output
