"""Which pairs of faults the families that ship cannot part, and how a fault's page says so."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from powergood.bench import knowhow, unparted
from powergood.bench.library import Library
from powergood.packs import Pack, builtin_pack

PACK = builtin_pack()


@pytest.mark.parametrize("family", unparted(PACK), ids=lambda family: family.family)
def test_few_pairs_of_the_families_that_ship_are_left_unparted(family) -> None:
    """Judgement: one pair in a thousand, or two; more would be knowledge that asks for guessing."""
    assert len(family.alike) <= max(2, family.pairs // 1000)
    assert all(pair.difference < 0.2 and pair.one != pair.other for pair in family.alike)


def without(pack: Pack, check: str) -> Pack:
    """Return a pack of the laptop alone that lacks one check."""
    family = replace(pack.families["pata-laptop"], complaints=(), gates=(), bring_up=())
    subsystems = {
        name: replace(
            each, stages=(), gates=(), checks=tuple(kept for kept in each.checks if kept.id != check)
        )
        for name, each in pack.subsystems.items()
    }
    kept = replace(family, checks=tuple(kept for kept in family.checks if kept.id != check))
    return replace(pack, subsystems=subsystems, families={"pata-laptop": kept}, sheets={})


def test_two_faults_are_listed_once_every_check_that_parts_them_is_gone_and_their_page_says_so() -> None:
    """A donor lamp tells the inverter from its lamp (common practice); take such checks away one by one."""
    two = {"inverter.failed", "lamp.broken"}
    pack, gone = without(PACK, "none"), []
    while not any({pair.one, pair.other} == two for pair in unparted(pack)[0].alike):
        page = knowhow.fault(SimpleNamespace(library=Library((pack,))), "pata-laptop", "inverter.failed")
        gone.append(next(line.check for line in page.neighbours if line.fault == "lamp.broken"))
        pack = without(pack, gone[-1])
    assert "try-donor-lamp" in gone
    page = knowhow.fault(SimpleNamespace(library=Library((pack,))), "pata-laptop", "inverter.failed")
    line = next(line for line in page.neighbours if line.fault == "lamp.broken")
    assert (line.check, line.fix) == ("", "")


def test_pairs_that_one_fix_cures_are_kept_apart_with_that_fix() -> None:
    """A disk with held heads and one with failed heads are both replaced, if nobody waits for more."""
    pack = without(PACK, "wait-for-wind-down")
    laptop = next(family for family in unparted(pack) if family.family == "pata-laptop")
    pair = next(pair for pair in laptop.same_fix if pair.one.startswith("disk."))
    assert pair.fix == "replace-disk"
    page = knowhow.fault(SimpleNamespace(library=Library((pack,))), "pata-laptop", pair.one)
    line = next(line for line in page.neighbours if line.fault == pair.other)
    assert line.fix


def test_pairs_of_parts_that_no_sheet_has_both_of_are_counted_and_not_listed() -> None:
    at_atx = next(family for family in unparted(PACK) if family.family == "at-atx-desktop")
    assert at_atx.apart_in_sheets > 0
    bare = next(f for f in unparted(replace(PACK, sheets={})) if f.family == "at-atx-desktop")
    assert bare.apart_in_sheets == 0
    assert len(bare.alike) == len(at_atx.alike) + at_atx.apart_in_sheets


def test_a_higher_threshold_lists_more() -> None:
    few, many = unparted(PACK, 0.2), unparted(PACK, 0.6)
    assert sum(len(family.alike) for family in few) < sum(len(family.alike) for family in many)
