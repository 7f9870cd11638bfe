"""The limits of the stages against published figures.

Read, as excerpts: the desktop supply design guide 0.9 (section 3.2.1, table 3), a handbook's table of
the ATX specification 2.1, the SCSI-2 draft (5.4.3), a TTL data sheet (recommended operating conditions). All
other limits are common practice or judgement, and say so.
"""

from __future__ import annotations

import pytest

from powergood.knowledge.model import Limit
from powergood.packs import builtin_pack
from powergood.units import Quantity, within

FAMILIES = ("at-atx-desktop", "pata-laptop", "home-micro", "compact-all-in-one", "scsi-desktop")

ATX_0_9 = {"five": (5, 0.05), "twelve": (12, 0.05), "three": (3.3, 0.05), "minus-five": (-5, 0.10),
           "minus-twelve": (-12, 0.10), "standby": (5, 0.05)}  # fmt: skip
"""Nominal volts and tolerance, design guide 0.9: +5, +12, +3.3 V and standby 5 %, -5 and -12 V 10 %."""


def limits(family: str) -> dict[str, Limit]:
    stages = builtin_pack().machine(family).stages
    return {f"{stage.id}.{limit.id}": limit for stage in stages for limit in stage.limits}


def ends(limit: Limit) -> tuple[float | None, float | None]:
    return (limit.low.value if limit.low else None, limit.high.value if limit.high else None)


@pytest.mark.parametrize("rail", ATX_0_9)
def test_desktop_rails_are_those_of_the_design_guide(rail: str) -> None:
    nominal, tolerance = ATX_0_9[rail]
    found = [limit for name, limit in limits("at-atx-desktop").items() if name.partition(".")[2] == rail]
    assert found
    for limit in found:
        spread = abs(nominal) * tolerance
        assert ends(limit) == (pytest.approx(nominal - spread), pytest.approx(nominal + spread))


def test_both_ends_of_a_desktop_rail_are_just_within_and_a_step_beyond_is_not() -> None:
    five = Quantity(5.0, "V")
    assert within(Quantity(4.75, "V"), five, 0.05)
    assert not within(Quantity(4.74, "V"), five, 0.05)


def test_the_other_edition_of_3_3_volts_is_told_beside_it() -> None:
    """The ATX specification 2.1 has 4 %: 3.168 to 3.432 V (a handbook's table 26-2; read second-hand)."""
    assert "3.168 to 3.432 V" in limits("at-atx-desktop")["supply-alone.three"].edition


def test_terminator_power_is_that_of_the_single_ended_cable_a() -> None:
    """SCSI-2, draft 5.4.3 (read): 4.25 to 5.25 V."""
    assert ends(limits("scsi-desktop")["termination-power.term-power"]) == (4.25, 5.25)


@pytest.mark.parametrize("name", ["brick-alone.five", "inside-alone.five-inside", "one-short-start.five"])
def test_logic_of_home_micros_gets_what_a_ttl_data_sheet_recommends(name: str) -> None:
    """A data sheet of a 74LS gate (read): 4.75 to 5.25 V."""
    assert ends(limits("home-micro")[name]) == (4.75, 5.25)


@pytest.mark.parametrize("family", FAMILIES)
def test_every_limit_has_an_edition_and_says_whether_it_was_read(family: str) -> None:
    for name, limit in limits(family).items():
        assert limit.edition, name
        sources = {claim.source for claim in (limit.low, limit.high) if claim}
        unsourced = sources <= {"judgement", "common practice"}
        assert unsourced or "(read" in limit.edition or "read second-hand" in limit.edition, name


@pytest.mark.parametrize("family", FAMILIES)
def test_every_class_has_its_stages_and_ends_attended(family: str) -> None:
    machine = builtin_pack().machine(family)
    assert len(machine.bring_up) >= 5
    assert machine.bring_up[-1] == "first-minutes"
    assert all(stage.stop_if for stage in machine.stages)
