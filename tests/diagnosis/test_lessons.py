"""What closed jobs say: expected values by hand, by Bayes' rule, and by a second way of computing them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from machines import line_of, machines, stories

from powergood.diagnosis import compile_model, lessons
from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import CompiledModel
from powergood.estimate import Telling, learned
from powergood.knowledge.model import (
    Area,
    Check,
    Claim,
    Fault,
    Fix,
    Function,
    MachineModel,
    Opening,
    Part,
)
from powergood.record.model import (
    Body,
    Finding,
    FixDone,
    JobOpened,
    Opened,
    PartFrom,
    SignedOff,
    TookMinutes,
)
from powergood.record.timeline import timeline


def n(value: float, weight: float = 0.0) -> Claim:
    return Claim(value, "judgement", weight)


MACHINE = MachineModel(
    id="lantern",
    title="Lantern",
    areas=(Area("light", "Light", n(0.001), "Change it all.", n(30), n(40)),),
    parts=(Part("lamp", "Lamp", "light", "lid"), Part("lead", "Lead", "light")),
    functions=(
        Function("glow", "It glows", "light", wanted=True, of=("lamp", "lead")),
        Function("mains", "The lead carries", "light", of=("lead",)),
    ),
    signs=(),
    faults=(
        Fault("lamp.dark", "Lamp is dark", {"glow": n(0.9)}, chance=n(0.3, 6)),
        Fault("lead.broken", "Lead is broken", {"glow": n(1.0), "mains": n(1.0)}, chance=n(0.1)),
    ),
    checks=(
        Check("look", "Does it glow?", n(2), n(0.02), "start", of="glow"),
        Check("meter", "Does the lead carry?", n(4), n(0.05), "off", of="mains"),
    ),
    fixes=(
        Fix("change-lamp", "Change the lamp.", "replace", n(10), replaces="lamp", dud=n(0.1), open=("lid",)),
        Fix("change-lead", "Change the lead.", "replace", n(5), replaces="lead"),
    ),
    openings=(Opening("lid", "Lid", n(3), n(2)),),
    expected_faults=n(0.4),
    weight=8.0,
)
MODEL = compile_model(MACHINE)
OPENED = JobOpened("dark", ("glow",))
REPAIRED: tuple[Body, ...] = (
    OPENED,
    Finding("look", "bad"),
    Finding("meter", "good"),
    Opened("lid"),
    FixDone("change-lamp", "lamp", "lamp/2"),
    Finding("look", "good"),
    SignedOff(),
)


def told(*bodies: Body, model: CompiledModel = MODEL) -> dict[str, Telling]:
    return {each.number: each for each in lessons(model, line_of(*bodies), 5).lessons.tellings}


def test_the_pack_gives_each_number_its_value_and_its_weight() -> None:
    assert MODEL.starts["fault:lantern:lamp.dark"].value == pytest.approx(0.3)
    assert MODEL.starts["fault:lantern:lamp.dark"].weight == 6
    assert MODEL.starts["false-alarm:lantern:meter"].weight == 8


def test_a_cause_fixed_and_proven_counts_whole_and_the_others_count_against() -> None:
    found = told(*REPAIRED)
    assert found["fault:lantern:lamp.dark"].hit == 1.0
    assert found["fault:lantern:lead.broken"].hit < 0.01


def test_a_cause_that_is_only_probable_counts_with_its_chance() -> None:
    # Two faults; it does not glow. P(bad) by hand: 1 - (1-.02)(1-.3*.9)(1-.1), and something else's share.
    other = 1 - 0.001 * 0.8
    quiet = (1 - 0.02) * other
    bad = 1 - quiet * (1 - 0.3 * 0.9) * (1 - 0.1)
    lamp = 0.3 * (1 - quiet * (1 - 0.9) * (1 - 0.1)) / bad
    found = told(OPENED, Finding("look", "bad"))
    assert found["fault:lantern:lamp.dark"].hit == pytest.approx(lamp, rel=1e-9)
    assert found["fault:lantern:lamp.dark"].before == pytest.approx(0.3)


def test_a_cause_fixed_in_a_job_that_was_not_proven_is_not_counted_whole() -> None:
    found = told(*REPAIRED[:-1], SignedOff("enough", ("glow",)))
    assert 0.9 < found["fault:lantern:lamp.dark"].hit < 1.0


def test_a_fault_that_no_finding_touched_tells_nothing() -> None:
    found = told(OPENED, SignedOff("not now", ("glow",)))
    assert not any(each.tells for each in found.values())


def test_a_failure_that_nothing_explains_is_likely_a_false_alarm() -> None:
    # The meter says the lead is broken; the lead is never touched, and then the machine glows: by Bayes'
    # rule only a broken lead (which always stops the glow) or a false alarm is left, and the first is out.
    found = told(OPENED, Finding("meter", "bad"), Finding("look", "good"), SignedOff())
    assert found["false-alarm:lantern:meter"].hit == pytest.approx(1.0, abs=0.02)
    assert found["false-alarm:lantern:look"].surely == 1.0


def test_the_chance_of_a_false_alarm_is_bayes_rule() -> None:
    # Only the meter was asked: P(false alarm and nothing broken) / P(bad).
    sound = (1 - 0.1) * (1 - 0.001 * 0.8)
    expected = 0.05 * sound / (1 - 0.95 * sound)
    found = told(OPENED, Finding("meter", "bad"))
    assert found["false-alarm:lantern:meter"].hit == pytest.approx(expected, rel=1e-9)


def test_the_same_look_again_before_anything_is_done_counts_once() -> None:
    once = lessons(MODEL, line_of(OPENED, Finding("look", "good")), 5).lessons.tellings
    twice = lessons(
        MODEL, line_of(OPENED, Finding("look", "good"), Finding("look", "good")), 5
    ).lessons.tellings
    assert once == twice


def test_an_unsure_or_told_finding_says_nothing_of_the_check() -> None:
    found = told(OPENED, Finding("meter", "good", sure=False), Finding("look", "good", told=True))
    assert not [name for name in found if name.startswith("false-alarm")]


def test_a_check_that_passed_over_a_proven_cause_is_a_miss() -> None:
    found = told(OPENED, Finding("look", "good"), *REPAIRED[3:])
    assert "missed:lantern:look" not in found  # the lamp is not proven to have been dark
    bodies = (OPENED, Finding("look", "bad"), Finding("meter", "good"), *REPAIRED[3:])
    taken = lessons(MODEL, line_of(*bodies), 5)
    look = next(each for each in taken.lessons.tellings if each.number == "missed:lantern:look")
    assert look.hit == 0.0
    assert taken.starts["missed:lantern:look"].value == pytest.approx(0.1)


def test_a_new_part_that_works_speaks_for_its_source_and_one_that_does_not_against() -> None:
    good = told(*REPAIRED[:5], PartFrom("lamp/2", "the fair"), *REPAIRED[5:])
    assert good["dud:the fair"].hit < good["dud:the fair"].before
    bad = told(*REPAIRED[:5], Finding("look", "bad"), Finding("meter", "good"))
    assert bad["dud:not said"].hit > bad["dud:not said"].before
    assert bad["dud"].hit == bad["dud:not said"].hit


def test_minutes_are_set_against_the_packs_for_all_that_they_cover() -> None:
    covers = ("fix:change-lamp", "opening:lid")
    line = line_of(
        OPENED, TookMinutes(39, covers), TookMinutes(9, ("opening:lid",)), TookMinutes(5, ("check:gone",))
    )
    one, two = lessons(MODEL, line, 5).lessons.work
    assert (one.timed.kind, one.timed.minutes, one.timed.pack) == ("mending", 39, 13)
    assert (two.timed.kind, two.timed.pack) == ("opening", 3)


def test_learned_numbers_come_back_as_chances_minutes_and_duds() -> None:
    taken = lessons(MODEL, line_of(*REPAIRED, TookMinutes(60, ("fix:change-lamp", "opening:lid"))), 5)
    numbers = learned({**MODEL.starts, **taken.starts}, taken.lessons)
    after = compile_model(MACHINE, learned=numbers)
    assert after.faults[0].prior == pytest.approx((0.3 * 6 + 1) / 7)
    assert after.faults[1].prior < 0.1
    assert after.checks["meter"].leak < MODEL.checks["meter"].leak
    assert after.fixes["change-lamp"].price.minutes > 10
    assert after.openings["lid"].minutes > 3
    assert after.fixes["change-lamp"].dud < 0.1
    assert compile_model(MACHINE, learned=numbers, who="Bo").openings["lid"].minutes == 3


def test_what_was_learned_of_a_source_counts_when_a_part_came_from_there() -> None:
    model = replace(MODEL, duds={"the fair": 0.6})
    plain = line_of(*REPAIRED[:5])
    named = line_of(*REPAIRED[:5], PartFrom("lamp/2", "the fair"))
    lamp = MODEL.fault_index["lamp.dark"]
    assert believe(model, plain).now()[lamp] == pytest.approx(0.1)
    assert believe(model, named).now()[lamp] == pytest.approx(0.6)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.data())
def test_the_chance_of_having_been_there_at_first_is_the_evidence_ratio(data: st.DataObject) -> None:
    # A second way: P(there at first | facts) = prior x P(facts | there) / P(facts), with the cluster's joint
    # cut down to the sets that hold the fault.
    model = data.draw(machines())
    line = timeline(data.draw(stories(model)))
    held = believe(model, line)
    assume(held.weight > 0)
    for number, cluster in enumerate(model.clusters):
        for place, member in enumerate(cluster.members):
            cut = tuple(chance if bits >> place & 1 else 0.0 for bits, chance in enumerate(cluster.joint))
            clusters = tuple(
                replace(cluster, joint=cut) if at == number else each
                for at, each in enumerate(model.clusters)
            )
            with_it = believe(replace(model, clusters=clusters), line)
            home = model.faults[member].slot
            found = sum(
                chance
                for (fault, instance), chance in held.at_first().items()
                if instance == home and model.in_slot(fault, home) == member
            )
            assert found == pytest.approx(with_it.weight / held.weight, abs=1e-9)
