"""The tutorial of half an hour says what the program says, command by command, and ends with a sound pack."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from tutorial_script import answers, blocks, write

from powergood.cli.main import cli
from powergood.packs import check_pack, load_pack

PAGE = Path(__file__).resolve().parents[2] / "docs" / "tutorial" / "subsystem-in-half-an-hour.md"
TEXT = PAGE.read_text(encoding="utf-8")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("POWERGOOD_WORKSHOP", raising=False)
    return tmp_path


def test_every_command_of_the_tutorial_answers_as_the_page_shows(folder: Path) -> None:
    commands = 0
    for block in blocks(TEXT):
        if block.kind != "console":
            write(block, folder)
            continue
        said = CliRunner().invoke(cli, block.command, prog_name="powergood").output
        assert answers(block.rest, said), f"{' '.join(block.command)} said:\n{said}"
        commands += 1
    assert commands >= 10
    assert check_pack(folder / "my-modem") == ()
    machine = load_pack(folder / "my-modem").machine("my-modem")
    assert {"speaker.lead-off", "modem-board.amplifier"} <= {fault.id for fault in machine.faults}


def test_every_block_is_one_the_test_reads_and_every_command_is_ours() -> None:
    assert len(re.findall(r"^```\w", TEXT, re.MULTILINE)) == len(blocks(TEXT))
    assert all(block.text.startswith("$ powergood ") for block in blocks(TEXT) if block.kind == "console")


def test_the_minutes_of_its_parts_are_half_an_hour_together() -> None:
    minutes = [int(found) for found in re.findall(r"^## .*\((\d+) minutes\)$", TEXT, re.MULTILINE)]
    assert len(minutes) == 6
    assert sum(minutes) == 30


@pytest.mark.parametrize(
    ("shown", "said", "agrees"),
    [
        ("a\nb\n", "a\nb\n", True),
        ("a\nb\n", "a\nc\n", False),
        ("...\nb\n...\n", "a\nb\nc\n", True),
        ("...\nb\n...\n", "b\n", True),
        ("...\nb\n", "a\nb\nc\n", False),
    ],
)
def test_left_out_lines_stand_for_any_and_others_for_themselves(shown: str, said: str, agrees: bool) -> None:
    assert answers(shown, said) is agrees
