"""The files of the shipped pack are short enough to be read whole, each about one thing."""

from __future__ import annotations

import pytest

from powergood.packs import builtin_pack

LONGEST = {"subsystems": 150, "families": 200}
"""Lines of a file that can still be read at one go (judgement); a family's is mostly lists."""


@pytest.mark.parametrize("folder", sorted(LONGEST))
def test_no_file_of_the_shipped_pack_is_too_long_to_be_read_at_one_go(folder: str) -> None:
    files = list((builtin_pack().path / folder).glob("*.yaml"))
    lengths = {file.name: len(file.read_text(encoding="utf-8").splitlines()) for file in files}
    assert len(lengths) >= 5
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST[folder]} == {}


def test_every_subsystem_of_the_shipped_pack_is_used_by_a_family() -> None:
    pack = builtin_pack()
    used = {name for family in pack.families.values() for name in family.subsystems}
    assert used == set(pack.subsystems)


def test_what_is_deadly_is_a_danger_and_mains_and_tubes_are_deadly() -> None:
    cautions = builtin_pack().cautions
    deadly = {each.id for each in cautions if each.deadly}
    assert deadly <= {each.id for each in cautions if each.danger}
    volts = {
        each.id for each in cautions if "mains voltage" in each.words or "thousands of volts" in each.words
    }
    assert volts
    assert volts <= deadly
