"""Which faults no check parts: against every possibility counted out one by one, and on known machines."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from machines import ladder, yes_no

from powergood.diagnosis.apart import PARTS_FROM, Shown, parting
from powergood.diagnosis.compiled import (
    BaseSpec,
    CheckSpec,
    Cluster,
    CompiledModel,
    FaultSpec,
    FixSpec,
    Link,
    Price,
)


def machine(faults: list[FaultSpec], checks: list[CheckSpec], fixes: list[FixSpec] | None = None):
    """Return a machine of three functions, each needing the one before, the third resting on `card`."""
    bases = (
        BaseSpec("power", "Power", "a"),
        BaseSpec("starts", "Starts", "a", needs=(0,)),
        BaseSpec("prints", "Prints", "a", needs=(1,), of=frozenset({"card"})),
        BaseSpec("smell", "Smell", "a", is_sign=True),
    )
    slots = tuple(dict.fromkeys([*(fault.slot for fault in faults), "card"]))
    return CompiledModel(
        family="small",
        digest="",
        faults=tuple(faults),
        clusters=tuple(Cluster((at,), (0.9, 0.1)) for at in range(len(faults))),
        bases=bases,
        checks={check.id: check for check in checks},
        fixes={fix.id: fix for fix in fixes or []},
        openings={},
        gates=(),
        complaints={},
        area_titles={"a": "A"},
        part_titles={},
        slots=slots,
        base_index={base.id: at for at, base in enumerate(bases)},
        fault_index={fault.id: at for at, fault in enumerate(faults)},
    )


def fault(name: str, links: dict[int, float], shows: float = 0.0) -> FaultSpec:
    slot = name.rpartition(".")[0]
    return FaultSpec(name, slot, "a", name, 0.1, tuple(Link(b, s) for b, s in links.items()), shows)


def fix(name: str, cures: dict[int, float]) -> FixSpec:
    return FixSpec(name, name, name, "repair", "", cures, 0.0, {}, Price(1.0), frozenset())


def counted_out(model: CompiledModel, number: int, check: CheckSpec) -> list[float]:
    """Return the chance of each outcome by going through every mood, link and false alarm one by one."""
    spec = model.faults[number]
    found = [0.0] * (len(check.rungs) + 1)
    for mood, *rest in product((False, True), repeat=1 + len(spec.links) + len(check.rungs)):
        acting, alarms = rest[: len(spec.links)], rest[len(spec.links) :]
        quiet = (1 - spec.shows) ** check.starts
        chance = (1 - quiet if mood else quiet) if spec.shows else float(mood)
        stopped = set()
        for link, acts in zip(spec.links, acting, strict=True):
            by_mood = spec.shows > 0 and not model.bases[link.base].is_sign
            strength = float(mood) if by_mood else link.strength
            chance *= strength if acts else 1 - strength
            if acts and spec.slot not in check.masked:
                stopped.add(link.base)
        for alarm in alarms:
            chance *= check.leak if alarm else 1 - check.leak
        at = next(
            (
                place
                for place, rung in enumerate(check.rungs)
                if alarms[place] or stopped & model.closure(rung.base, check.absent)
            ),
            len(check.rungs),
        )
        found[at] += chance
    return found


STRENGTH = st.sampled_from([0.2, 0.6, 0.9, 1.0])


@st.composite
def cases(draw: st.DrawFn) -> tuple[CompiledModel, CheckSpec]:
    shows = draw(st.sampled_from([0.0, 0.0, 0.3, 0.7]))
    links = draw(st.dictionaries(st.integers(0, 3), STRENGTH, min_size=1, max_size=3))
    if shows:
        links = {base: 1.0 if base < 3 else strength for base, strength in links.items()}
    some = fault("board.bad", links, shows)
    look = draw(
        st.sampled_from(
            [
                yes_no("a", 0),
                yes_no("b", 3, leak=0.2),
                ladder("c", [0, 1, 2], leak=0.1),
                ladder("d", [1, 3]),
                ladder("e", [3, 0, 2]),
                replace(ladder("f", [0, 3]), starts=5.0),
            ]
        )
    )
    if draw(st.booleans()):
        look = replace(look, masked=frozenset({"board"}))
    return machine([some], [look]), look


@settings(max_examples=120, deadline=None)
@given(cases())
def test_what_a_check_shows_of_a_fault_is_what_counting_every_possibility_out_gives(case) -> None:
    model, check = case
    assert Shown(model).of(check)[0] == pytest.approx(counted_out(model, 0, check), abs=1e-9)


def test_faults_that_stop_different_rungs_are_parted_and_those_that_stop_the_same_are_not() -> None:
    one, two = fault("board.dead", {0: 1.0}), fault("disk.dead", {1: 1.0})
    three = fault("plug.off", {0: 0.9})
    found = parting(machine([one, two, three], [ladder("how-far", [0, 1])]))
    assert found.pairs == 3
    assert [(pair.one, pair.other, pair.check) for pair in found.alike] == [
        ("board.dead", "plug.off", "how-far")
    ]
    assert found.alike[0].difference == pytest.approx(0.095)  # 1 against 0.9 + 0.1 * 0.05, worked by hand


def test_faults_that_one_fix_mostly_cures_need_no_parting_and_are_counted() -> None:
    both = [fault("board.dead", {0: 1.0}), fault("plug.off", {0: 1.0})]
    look = [yes_no("lamp", 0)]
    assert parting(machine(both, look, [fix("all", {0: 0.9, 1: 0.6})])).same_fix[0].fix == "all"
    assert parting(machine(both, look, [fix("all", {0: 0.9, 1: 0.6})])).alike == ()
    assert len(parting(machine(both, look, [fix("hardly", {0: 0.9, 1: 0.1})])).alike) == 1


def test_replacing_a_whole_area_does_not_make_its_faults_one() -> None:
    both = [fault("board.dead", {0: 1.0}), fault("plug.off", {0: 1.0})]
    found = parting(machine(both, [yes_no("lamp", 0)], [fix("replace-a", {0: 1.0, 1: 1.0})]))
    assert len(found.alike) == 1


def test_a_part_that_a_check_could_leave_out_is_named() -> None:
    """A shorted card and a dead board look alike until the card is out; what needs the card cannot tell."""
    both = [fault("board.dead", {1: 1.0}), fault("card.shorted", {1: 1.0})]
    found = parting(machine(both, [yes_no("start", 1)]))
    assert [pair.without for pair in found.alike] == ["card"]
    wanting = [fault("board.dead", {2: 1.0}), fault("card.shorted", {2: 1.0})]
    assert [pair.without for pair in parting(machine(wanting, [yes_no("print", 2)])).alike] == [""]
    with_it_out = replace(yes_no("without", 1), masked=frozenset({"card"}), absent=frozenset({"card"}))
    assert parting(machine(both, [yes_no("start", 1), with_it_out])).alike == ()


def test_copies_of_a_fault_are_parted_only_by_a_check_of_each_copy() -> None:
    both = [fault("memory.1.bad", {1: 1.0}), fault("memory.2.bad", {1: 1.0})]
    found = parting(machine(both, [yes_no("start", 1)]))
    assert found.pairs == 0
    assert [(pair.one, pair.other) for pair in found.copies] == [("memory.1.bad", "memory.2.bad")]
    first = replace(
        yes_no("each#1", 1), copy=1, masked=frozenset({"memory.2"}), absent=frozenset({"memory.2"})
    )
    assert parting(machine(both, [yes_no("start", 1), first])).copies == ()


def test_the_threshold_is_where_it_is_said_to_be() -> None:
    both = [fault("board.dead", {0: 1.0}), fault("plug.off", {0: 0.7})]
    model = machine(both, [yes_no("lamp", 0, leak=0.0)])
    assert PARTS_FROM == 0.2
    assert parting(model).alike == ()
    assert len(parting(model, parts_from=0.31).alike) == 1
    assert parting(model, parts_from=0.3).alike == ()


def test_something_else_is_no_fault_to_be_parted() -> None:
    unlisted = replace(fault("board.dead", {0: 1.0}), id="something-else.a", slot="", listed=False)
    assert parting(machine([unlisted, fault("plug.off", {0: 1.0})], [yes_no("lamp", 0)])).pairs == 0
