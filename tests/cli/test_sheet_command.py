"""Model sheets from the command line: listed, shown, made, changed, checked, shared and taken in."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from powergood.cli.main import cli

Run = Callable[..., Result]


@pytest.fixture
def made(run: Run, folder: Path) -> str:
    done = run(
        "sheet", "new", "--from", "pata-laptop", "--title", "Torvane 300", "--make", "Torvane",
        "--year", "1997", "--workshop", folder,
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    return "torvane-300"


def test_a_sheet_that_is_made_is_listed_as_own_and_its_file_is_named(
    run: Run, folder: Path, made: str
) -> None:
    assert (folder / "packs" / "own" / "sheets" / f"{made}.yaml").is_file()
    listed = run("sheet", "list", "--workshop", folder).output
    assert "brenlund-n480" in listed
    row = next(line for line in listed.splitlines() if line.startswith(made))
    assert row.endswith("own")
    assert {"sheet", "title", "own"} <= set(
        json.loads(run("sheet", "list", "--json", "--workshop", folder).output)[0]
    )


def test_what_no_option_gives_is_asked(folder: Path) -> None:
    typed = "pata-laptop\nOrrin 2\n\n1995\n"
    words = ["sheet", "new", "--workshop", str(folder)]
    done = CliRunner().invoke(cli, words, input=typed, prog_name="powergood")
    assert done.exit_code == 0
    assert "Model, as it stands on its label" in done.output
    assert "orrin-2 is made" in done.output


def test_a_sheet_is_shown_with_its_ways_in_and_what_it_overrides(run: Run, folder: Path) -> None:
    said = run("sheet", "show", "quillane-tr14", "--workshop", folder).output
    assert "Quillane TR14  [quillane-tr14]" in said
    assert "Memory hatch, underside middle: 1.5 min to open, 1.5 min to close (judgement)" in said
    assert "Standby pack: none (family: 1)" in said
    assert "openings, memory-hatch: minutes: 2 (judgement) -> 1.5 (judgement)" in said
    assert "Red plus" in said


def test_fields_are_listed_and_changed(run: Run, folder: Path, made: str) -> None:
    fields = run("sheet", "change", made, "--workshop", folder).output
    assert "copies:memory=" in fields
    assert "new-opening:0:title=" in fields
    done = run(
        "sheet", "change", made, "new-opening:0:title=Shield off", "new-opening:0:minutes=2 (M1)",
        "new-opening:0:refit=3", r"new-opening:0:fasteners=4 screws\n2 tabs", "source:0:title=Own stopwatch",
        "--workshop", folder,
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    said = run("sheet", "show", made, "--workshop", folder).output
    assert "Shield off: 2 min to open, 3 min to close (M1)\n      4 screws\n      2 tabs" in said
    assert "M1: Own stopwatch" in said


def test_the_address_of_a_source_is_never_printed_its_title_is(
    run: Run, folder: Path, made: str, tmp_path: Path
) -> None:
    source = ("source:0:title=Own stopwatch", "source:0:address=https://example.org/boxes")
    changed = run("sheet", "change", made, *source, "minutes:memory-hatch=2 (M1)", "--workshop", folder)
    assert changed.exit_code == 0, changed.output
    file = tmp_path / "it.yaml"
    run("sheet", "export", made, "--to", file, "--workshop", folder)
    file.write_text(file.read_text().replace("/boxes", "/crates"))
    for words in (["show", made], ["show", made, "--json"], ["import", file, "--yes"]):
        said = run("sheet", *words, "--workshop", folder).output
        assert "Own stopwatch" in said, words
        assert "example.org" not in said, words


def test_problems_of_a_change_are_told_field_by_field_and_nothing_is_changed(
    run: Run, folder: Path, made: str
) -> None:
    done = run("sheet", "change", made, "year=soon", "minutes:memory-hatch=long", "--workshop", folder)
    assert done.exit_code == 2
    assert "  year: " in done.stderr
    assert "  minutes:memory-hatch: " in done.stderr
    assert "1997" in run("sheet", "show", made, "--workshop", folder).output
    assert run("sheet", "change", made, "colour=red", "--workshop", folder).exit_code == 2
    assert run("sheet", "change", made, "year", "--workshop", folder).exit_code == 2


def test_a_sheet_goes_out_as_a_file_and_comes_in_at_another_bench(
    run: Run, folder: Path, made: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("sheet", "export", made, "--workshop", folder).exit_code == 0
    file = tmp_path / "torvane-300.yaml"
    again = run("sheet", "export", made, "--workshop", folder)
    assert again.exit_code == 2
    assert "exists already" in again.stderr
    printed = run("sheet", "export", made, "--to", "-", "--workshop", folder).output
    assert printed == file.read_text(encoding="utf-8")
    run("demo", tmp_path / "other")
    shown = run("sheet", "import", file, "--workshop", tmp_path / "other", "--yes")
    assert shown.exit_code == 0
    assert "year: nothing -> 1997" in shown.output
    assert "torvane-300 is taken in" in shown.output
    twice = run("sheet", "import", file, "--workshop", tmp_path / "other")
    assert "here already" in twice.output


def test_taking_in_shows_the_changes_first_and_asks(
    run: Run, folder: Path, made: str, tmp_path: Path
) -> None:
    file = tmp_path / "it.yaml"
    run("sheet", "export", made, "--to", file, "--workshop", folder)
    file.write_text(file.read_text().replace("year: 1997", "year: 1998"))
    words = ["sheet", "import", str(file), "--workshop", str(folder)]
    no = CliRunner().invoke(cli, words, input="n\n", prog_name="powergood")
    assert "year: 1997 -> 1998" in no.output
    assert "Nothing was changed" in no.output
    assert "1997" in run("sheet", "show", made, "--workshop", folder).output
    yes = CliRunner().invoke(cli, words, input="y\n", prog_name="powergood")
    assert yes.exit_code == 0
    assert "1998" in run("sheet", "show", made, "--workshop", folder).output


def test_a_clash_is_an_issue_even_with_yes(run: Run, folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "it.yaml"
    run("sheet", "export", "brenlund-n480", "--to", file, "--workshop", folder)
    file.write_text(file.read_text().replace("year: 1996", "year: 1990"))
    done = run("sheet", "import", file, "--yes", "--workshop", folder)
    assert done.exit_code == 2
    assert "year: 1996 -> 1990" in done.output
    assert "has a sheet `brenlund-n480` already" in done.stderr
    assert "1996" in run("sheet", "show", "brenlund-n480", "--workshop", folder).output


def test_a_file_is_checked_without_a_workshop(run: Run, folder: Path, made: str, tmp_path: Path) -> None:
    file = tmp_path / "it.yaml"
    run("sheet", "export", made, "--to", file, "--workshop", folder)
    none = tmp_path / "no-workshop"
    assert "no mistakes" in run("sheet", "check", file, "--workshop", none).output
    file.write_text(file.read_text().replace("year: 1997", "year: soon") + "colour: red\n")
    done = run("sheet", "check", file, "--workshop", none)
    assert done.exit_code == 2
    assert f"{file}:" in done.stderr
    assert done.stderr.count("error: ") == 2
    assert "2 mistakes" in done.stderr
    spoilt = run("sheet", "import", file, "--yes", "--workshop", folder)
    assert spoilt.exit_code == 2
    assert "nothing was changed" in spoilt.stderr


def test_a_sheet_whose_family_is_not_here_says_that_its_pack_must_come_first(
    run: Run, folder: Path, made: str, tmp_path: Path
) -> None:
    file = tmp_path / "it.yaml"
    run("sheet", "export", made, "--to", file, "--workshop", folder)
    file.write_text(file.read_text().replace("family: pata-laptop", "family: hand-lantern"))
    done = run("sheet", "import", file, "--yes", "--workshop", folder)
    assert done.exit_code == 2
    assert "the pack that has it must be here first" in done.stderr


@pytest.mark.parametrize("data", [None, b"\xff\xfe\x00", b"x" * 1_000_001])
def test_what_is_no_readable_file_is_bad_input(run: Run, tmp_path: Path, data: bytes | None) -> None:
    file = tmp_path / "it.yaml"
    if data is not None:
        file.write_bytes(data)
    assert run("sheet", "check", file).exit_code == 2


def test_a_sheet_of_a_pack_is_not_changed_and_an_unknown_one_is_said(run: Run, folder: Path) -> None:
    done = run("sheet", "change", "brenlund-n480", "year=1990", "--workshop", folder)
    assert done.exit_code == 2
    assert "belongs to a pack" in done.stderr
    assert run("sheet", "show", "no-such", "--workshop", folder).exit_code == 2


def test_shipped_sheets_are_read_without_a_workshop(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert "brenlund-n480" in run("sheet", "list").output
    assert "Quillane TR14  [quillane-tr14]" in run("sheet", "show", "quillane-tr14").output
    assert run("sheet", "export", "quillane-tr14", "--to", "-").output.startswith("format:")
    assert not any(tmp_path.iterdir())


def test_a_workshop_that_was_named_must_be_there(run: Run, tmp_path: Path) -> None:
    assert run("sheet", "list", "--workshop", tmp_path / "none").exit_code == 3
