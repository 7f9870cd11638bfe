"""What is asked of every family alike: enough to be of use, words of its own, sheets that tell the whole."""

from __future__ import annotations

import pytest
from families import Family, pack

FAMILIES = tuple(pack().families)
LEAST = {"pata-laptop": (30, 2), "at-atx-desktop": (80, 3), "home-micro": (80, 3)}
"""For each family the least number of faults, and of complaints that ask back; 60 and 2 for the others."""
SHEETS = [(sheet.family, name) for name, sheet in pack().sheets.items()]
SMALL = {"wendle-pip-48", "norvane-64", "marlane-tutor-b"}
"""Sheets of micros, which have not all the parts that their family knows, and so fewer ways to fail."""


@pytest.mark.parametrize(
    ("family", "kind"),
    [*((family, "") for family in FAMILIES), *(each for each in SHEETS if each[1] not in SMALL)],
)
def test_a_kind_is_described_well_enough_to_be_of_use(family: str, kind: str) -> None:
    found = Family(family).machine(kind)
    faults, asking = LEAST.get(family, (60, 2))
    assert len(found.faults) >= faults
    assert len(found.checks) >= 30
    assert len(found.complaints) >= 24
    assert 8 <= sum(check.on_pad for check in found.checks) <= 12
    assert 6 <= sum(function.wanted for function in found.functions) <= 11
    assert sum(bool(complaint.ask) for complaint in found.complaints) >= asking


@pytest.mark.parametrize("family", FAMILIES)
def test_no_two_complaints_are_said_in_the_same_words(family: str) -> None:
    complaints = Family(family).machine().complaints
    said = [words.casefold() for each in complaints for words in (each.words, *each.also)]
    assert sorted(said) == sorted(set(said))


@pytest.mark.parametrize(("family", "kind"), SHEETS)
def test_a_sheet_says_where_each_cell_sits_how_it_is_poled_and_what_holds_it_shut(
    family: str, kind: str
) -> None:
    sheet = Family(family).sheet(kind)
    assert sheet.cells
    assert all(cell.kind and cell.place and cell.polarity for cell in sheet.cells)
    assert len(sheet.weak_points) >= 4
    assert len(sheet.healthy) >= 4
    assert sheet.boot_routes
    assert all(opening.fasteners for opening in Family(family).machine(kind).openings)
