"""What the know-how pages say of the program's own families agrees with the pack and with the engine."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from powergood.bench import Workshop, knowhow
from powergood.bench.knowhow.apart import PARTS_FROM
from powergood.bench.knowhow.reading import reading
from powergood.bench.library import Library
from powergood.errors import UnknownThing
from powergood.estimate import LearnedNumber
from powergood.packs import builtin_pack

PACK = builtin_pack()
KINDS = [*PACK.families, *PACK.sheets]


@pytest.fixture(scope="module")
def ws() -> Workshop:
    """A workshop as far as reading goes: the program's own pack, and no book."""
    return cast(Workshop, SimpleNamespace(library=Library((PACK,))))


@pytest.mark.parametrize("kind", KINDS)
def test_every_fault_check_and_complaint_of_every_kind_has_its_page(ws: Workshop, kind: str) -> None:
    about = reading(ws.library, kind)
    for name in about.faults:
        page = knowhow.fault(ws, kind, name)
        assert page.signs or page.unseen
        assert page.numbers
        assert all(0.0 <= sign.strength <= 1.0 + 1e-9 for sign in (*page.signs, *page.weaker))
    for name in about.known.words.checks:
        page_of_check = knowhow.check(ws, kind, name)
        assert len(page_of_check.outcomes) >= 2
        assert page_of_check.numbers[0].number.startswith("false-alarm:")
    for each in about.known.model.complaints:
        assert knowhow.complaint(ws, kind, each.id).words == each.words


@pytest.mark.parametrize("kind", KINDS)
def test_a_family_page_lists_every_fault_once_likeliest_first(ws: Workshop, kind: str) -> None:
    page = knowhow.family(ws, kind)
    lines = [line for group in page.faults for line in group.faults]
    assert sorted(line.fault for line in lines) == sorted(reading(ws.library, kind).faults)
    assert [line.chance for line in lines] == sorted((line.chance for line in lines), reverse=True)


def test_the_chances_of_a_family_add_up_to_its_expected_number_of_faults(ws: Workshop) -> None:
    """The pack's weights are scaled to the stated figure; intake and something else are left out."""
    page = knowhow.family(ws, "pata-laptop")
    total = sum(line.chance * line.copies for group in page.faults for line in group.faults)
    assert float(page.expected.value) * 0.75 < total < float(page.expected.value) * 1.15


def test_a_failed_inverter_is_told_from_its_lamp_by_a_donor_lamp(ws: Workshop) -> None:
    """A donor lamp that lights clears the inverter: common practice."""
    page = knowhow.fault(ws, "pata-laptop", "inverter.failed")
    near = {line.fault: line for line in page.neighbours}
    assert near["lamp.broken"].check == "try-donor-lamp"
    assert near["lamp.broken"].here.startswith("It stays dark")
    assert near["lamp.broken"].there.startswith("The donor lamp lights")


@pytest.mark.parametrize("kind", PACK.families)
def test_a_check_that_is_said_to_part_two_faults_shows_them_differently(ws: Workshop, kind: str) -> None:
    about = reading(ws.library, kind)
    for name in about.faults:
        for line in knowhow.fault(ws, kind, name).neighbours:
            if line.check:
                here = about.shown[name].get(line.check, {})
                there = about.shown[line.fault].get(line.check, {})
                apart = max(abs(here.get(o, 0.0) - there.get(o, 0.0)) for o in {**here, **there})
                assert apart >= PARTS_FROM / 2


def test_two_faults_that_every_check_shows_alike_are_said_not_to_be_parted(ws: Workshop) -> None:
    about = reading(ws.library, "pata-laptop")
    alike = {
        (one, other)
        for one, shown in about.shown.items()
        for other, also in about.shown.items()
        if one != other and shown and shown == also
    }
    said = {
        (name, line.fault)
        for name in about.faults
        for line in knowhow.fault(ws, "pata-laptop", name).neighbours
        if not line.check
    }
    shown = {
        (name, line.fault)
        for name in about.faults
        for line in knowhow.fault(ws, "pata-laptop", name).neighbours
    }
    assert alike & shown <= said


def test_the_fault_of_a_copy_leads_to_the_fault_and_the_check_of_a_copy_to_the_check(ws: Workshop) -> None:
    assert knowhow.fault(ws, "pata-laptop", "memory.2.unseated").fault == "memory.unseated"
    assert knowhow.check(ws, "pata-laptop", "torch#2").check == "torch"


def test_what_is_not_known_is_said_and_not_guessed(ws: Workshop) -> None:
    with pytest.raises(UnknownThing, match="no fault"):
        knowhow.fault(ws, "pata-laptop", "inverter.sulks")
    with pytest.raises(UnknownThing, match="no check"):
        knowhow.check(ws, "pata-laptop", "guess")
    with pytest.raises(UnknownThing, match="no complaint"):
        knowhow.complaint(ws, "pata-laptop", "sulks")
    with pytest.raises(UnknownThing):
        knowhow.family(ws, "no-such")


def test_a_number_that_jobs_moved_shows_how_and_others_say_nothing(ws: Workshop) -> None:
    number = "fault:pata-laptop:inverter.failed"
    learned = {number: LearnedNumber(number, 0.03, 8, "judgement", 0.05, 0.02, 0.09, 2.0, 30.0, (3, 7))}
    page = knowhow.fault(ws, "pata-laptop", "inverter.failed", learned)
    moved = [line for line in page.numbers if line.moved]
    assert [line.number for line in moved] == [number]
    assert moved[0].moved is not None
    assert moved[0].moved.jobs == (3, 7)
    assert not any(line.moved for line in knowhow.fault(ws, "pata-laptop", "inverter.failed").numbers)


@pytest.mark.parametrize("kind", PACK.families)
def test_every_family_says_what_must_be_so_before_power_and_when_to_stop(ws: Workshop, kind: str) -> None:
    page = knowhow.safety(ws, kind)
    assert page.gates
    assert page.first_start
    assert any("urn" in line.seen or "moke" in line.seen for line in page.stop_if)
    dangers = [words.danger for words in page.cautions]
    assert dangers == sorted(dangers, reverse=True)


def test_a_complaint_seen_makes_the_faults_it_names_likelier(ws: Workshop) -> None:
    page = knowhow.complaint(ws, "pata-laptop", "dark-picture")
    assert {line.fault for line in page.suspects[:4]} & {"inverter.failed", "lamp.worn"}
    before = reading(ws.library, "pata-laptop").chances
    assert all(line.chance > before[line.fault] for line in page.suspects)


def test_a_source_named_in_the_words_stands_among_the_sources(ws: Workshop) -> None:
    page = knowhow.fault(ws, "pata-laptop", "inverter.failed")
    assert {"S2", "S4"} <= {line.source for line in page.sources}


def test_before_power_tells_the_editions_of_the_standard_or_the_one_that_holds(ws: Workshop) -> None:
    assert [each.edition for each in knowhow.safety(ws, "at-atx-desktop").editions] == [
        "at", "atx-0-9", "atx-2-1", "atx12v-2-0",
    ]  # fmt: skip
    assert [each.edition for each in knowhow.safety(ws, "torrolf-433").editions] == ["at"]
    assert knowhow.safety(ws, "home-micro").editions == ()
