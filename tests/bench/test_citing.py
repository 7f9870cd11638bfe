"""No key of a source reaches a reader: sentences name where something was read, or lead to it."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass

import pytest

from powergood.bench import Workshop, knowhow
from powergood.bench.citing import cited, plain
from powergood.packs import builtin_pack

TITLES = {"SA1": "A bench report", "SC19": "A drive taken apart"}


def test_keys_in_brackets_become_titles_or_go() -> None:
    text = "It reads after cleaning (SC19). Both say so (SA1, SC19)."
    assert cited(text, TITLES) == (
        "It reads after cleaning (source: A drive taken apart)."
        " Both say so (source: A bench report; A drive taken apart)."
    )
    assert plain(text, TITLES) == "It reads after cleaning. Both say so."


def test_what_is_no_key_of_a_source_stays() -> None:
    for text in ("The regulator (IC12) is hot.", "Look at both (SA1, IC12).", "Pin 9 (see there)."):
        assert cited(text, TITLES) == plain(text, TITLES) == text


def _texts(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    if is_dataclass(value):
        return [
            text
            for each in fields(value)
            if each.name != "source"
            for text in _texts(getattr(value, each.name))
        ]
    return [text for each in value for text in _texts(each)] if isinstance(value, tuple) else []


@pytest.mark.parametrize("family", sorted(builtin_pack().families))
def test_no_page_of_a_fault_or_check_shows_the_key_of_a_source(ws: Workshop, family: str) -> None:
    machine = builtin_pack().machine(family)
    keys = {each.id for each in machine.sources}
    coded = re.compile(r"\(([A-Z]{1,3}[0-9]{1,3})[,;)]")
    noted = [each.id for each in machine.faults if coded.search(each.sets_apart + each.danger)][:4]
    checks = [each.id for each in machine.checks if coded.search(" ".join((each.tells, *each.wrong_when)))][
        :4
    ]
    views = [
        *(knowhow.fault(ws, family, name) for name in noted),
        *(knowhow.check(ws, family, name) for name in checks),
    ]
    shown = [key for view in views for text in _texts(view) for key in coded.findall(text)]
    assert not keys & set(shown)
