"""The tutorial uses the very words that the cards and the pad of the demo's machine show."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from powergood.knowledge.model import Check
from powergood.packs import builtin_pack

PAGE = Path(__file__).resolve().parents[2] / "docs" / "tutorial" / "first-repair.md"
MACHINE = builtin_pack().machine("brenlund-n480")


def rows() -> list[tuple[str, str]]:
    cells = re.findall(r"^\| (.+?) \| (.+?) \|$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    return [
        (asked, answer) for asked, answer in cells if not asked.startswith(("---", "on the pad", "the card"))
    ]


def answers(check: Check) -> set[str]:
    if check.rungs:
        return {check.all_good, *(rung.seen for rung in check.rungs)}
    return {check.good, check.bad}


@pytest.mark.parametrize(("asked", "answer"), rows())
def test_a_question_of_the_tutorial_is_one_the_machine_has_with_that_answer(asked: str, answer: str) -> None:
    said = {check.ask: answers(check) for check in MACHINE.checks} | {
        fix.do: {"done"} for fix in MACHINE.fixes
    }
    assert answer in said[asked]


def test_the_tutorial_tells_most_of_the_pad() -> None:
    on_pad = {check.ask for check in MACHINE.checks if check.on_pad}
    told = {asked for asked, _ in rows()}
    assert len(on_pad & told) >= 0.75 * len(on_pad)
