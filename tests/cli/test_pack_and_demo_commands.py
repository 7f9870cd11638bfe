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


def test_pairs_of_faults_that_no_check_parts_are_remarked_and_listed_when_asked(run: Run) -> None:
    strict = ("pack", "check", BUILTIN, "--parts-from", "0.6")
    short, long = run(*strict), run(*strict, "--pairs")
    assert short.exit_code == long.exit_code == 0
    assert "remark: pata-laptop: of " in short.output
    assert "--pairs lists them" in short.output
    assert "No check parts two faults" not in short.output
    assert "every check" in long.output or " in 100, at `" in long.output
    assert "less than 60 in 100" in " ".join(long.output.split())
    assert "`replace-disk` cures either" in long.output


def test_how_far_apart_outcomes_must_be_can_be_set(run: Run) -> None:
    wide = run("pack", "check", BUILTIN, "--pairs", "--parts-from", "0.7")
    assert "less than 70 in 100" in " ".join(wide.output.split())
    assert run("pack", "check", BUILTIN, "--parts-from", "7").exit_code == 2


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


def test_a_new_pack_is_checked_and_asked_at_once(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "my-modem"
    made = run("pack", "new", path)
    assert made.exit_code == 0
    assert f"powergood pack check {path}" in made.output
    assert "no mistakes" in run("pack", "check", path).output
    advice = run("advise", "my-modem", "--pack", path)
    assert advice.exit_code == 0
    assert "Line chip failed" in advice.output
    again = run("pack", "new", path)
    assert again.exit_code == 2
    assert "exists already" in again.stderr


def test_a_pack_of_the_newest_format_has_nothing_to_upgrade(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "my-modem"
    run("pack", "new", path)
    for option in ((), ("--over",), ("--into", tmp_path / "newer")):
        done = run("pack", "upgrade", path, *option)
        assert done.exit_code == 0
        assert "Nothing to upgrade" in done.output
    assert {file.name for file in tmp_path.iterdir()} == {"my-modem"}
    assert run("pack", "upgrade", path, "--over", "--into", tmp_path / "x").exit_code == 2


def test_a_pack_of_a_newer_format_says_to_update_the_program(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "my-modem"
    run("pack", "new", path)
    head = path / "pack.yaml"
    head.write_text(head.read_text().replace("format: 1", "format: 9"))
    done = run("pack", "check", path)
    assert done.exit_code == 2
    assert "update the program" in done.stderr
    assert "pack.yaml:3:9" in done.stderr
