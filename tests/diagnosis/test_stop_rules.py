"""What was spent and which limits the next step passes; expected values by hand on the lantern."""

from __future__ import annotations

import pytest
from machines import line_of

from powergood.diagnosis import (
    Advice,
    CompiledModel,
    Limits,
    Preferences,
    advise,
    compile_model,
    spent,
    stop_signs,
)
from powergood.knowledge.model import (
    Area,
    Caution,
    Check,
    Claim,
    Fault,
    Fix,
    Function,
    MachineModel,
    Opening,
    Part,
)
from powergood.record.model import Body, Finding, FixDone, JobOpened, Opened, TookMinutes


def n(value: float) -> Claim:
    return Claim(value, "judgement")


MACHINE = MachineModel(
    id="lantern",
    title="Lantern",
    areas=(Area("light", "Light", n(0.001), "Change it all.", n(30), n(400)),),
    parts=(Part("lamp", "Lamp", "light", "inner"),),
    functions=(Function("glow", "It glows", "light", wanted=True, of=("lamp",)),),
    signs=(),
    faults=(Fault("lamp.dark", "Lamp is dark", {"glow": n(1.0)}, chance=n(0.4)),),
    checks=(Check("look", "Does it glow?", n(2), n(0.01), "start", of="glow"),),
    fixes=(
        Fix(
            "change-lamp", "Change the lamp.", "replace", n(10), replaces="lamp", money=n(20), open=("inner",)
        ),
    ),
    openings=(
        Opening("lid", "Lid", n(3), n(2)),
        Opening("inner", "Inner lid", n(4), n(2), behind=("lid",), cautions=("mains",)),
    ),
    cautions=(Caution("mains", "Mains inside", "Unplug it.", danger=True),),
)
MODEL: CompiledModel = compile_model(MACHINE)
OPENED = JobOpened("dark", ("glow",))
DARK: tuple[Body, ...] = (OPENED, Finding("look", "bad"))
WANTS = Preferences(hour=12, worth=1000)


def rules(
    *bodies: Body, limits: Limits, wants: Preferences = WANTS, dangers: tuple[str, ...] = ()
) -> set[str]:
    line = line_of(*bodies)
    advice: Advice = advise(MODEL, line, wants)
    return {each.rule for each in stop_signs(MODEL, line, advice, wants, limits, dangers)}


def test_what_was_spent_is_the_planned_minutes_unless_the_person_said_others() -> None:
    planned = spent(
        MODEL, line_of(*DARK, Opened("lid"), Opened("inner"), FixDone("change-lamp", "lamp", "lamp/2"))
    )
    assert (planned.money, planned.minutes) == (20, 2 + 3 + 4 + 10)
    said = spent(
        MODEL,
        line_of(*DARK, Opened("lid"), Opened("inner"), TookMinutes(30, ("opening:lid", "opening:inner"))),
    )
    assert said.minutes == pytest.approx(2 + 30)


def test_the_limit_of_money_is_told_before_the_part_is_bought() -> None:
    assert rules(*DARK, limits=Limits(money=19)) == {"money"}
    assert rules(*DARK, limits=Limits(money=20)) == set()


def test_the_limit_of_minutes_counts_the_next_step_with_its_openings() -> None:
    step = next(each for each in advise(MODEL, line_of(*DARK), WANTS).steps if each.kind == "fix")
    assert step.minutes == 3 + 4 + 10
    assert rules(*DARK, limits=Limits(minutes=18)) == {"minutes"}
    assert rules(*DARK, limits=Limits(minutes=19)) == set()


def test_a_step_behind_more_openings_than_one_is_trained_for_is_told() -> None:
    assert rules(*DARK, limits=Limits(depth=1)) == {"depth"}
    assert rules(*DARK, limits=Limits(depth=2)) == set()
    assert rules(*DARK, Opened("lid"), Opened("inner"), limits=Limits(depth=1)) == set()


def test_a_danger_is_told_to_those_who_asked_for_it() -> None:
    assert rules(*DARK, limits=Limits(danger=True), dangers=("mains",)) == {"danger"}
    assert rules(*DARK, limits=Limits(), dangers=("mains",)) == set()


def test_the_third_part_without_any_change_is_told_before_the_next() -> None:
    changed: list[Body] = list(DARK)
    for number in range(2, 5):
        assert spent(MODEL, line_of(*changed)).parts == number - 2
        changed += [FixDone("change-lamp", "lamp", f"lamp/{number}"), Finding("look", "bad")]
    assert rules(*changed, limits=Limits(parts=3)) == {"parts"}
    assert rules(*changed, limits=Limits(parts=4)) == set()
    assert (
        spent(
            MODEL, line_of(*changed, FixDone("change-lamp", "lamp", "lamp/9"), Finding("look", "good"))
        ).parts
        == 0
    )


def test_a_rest_that_costs_more_than_the_machine_is_worth_is_told_without_any_limit_set() -> None:
    # The lamp: 17 minutes and 20 in money, which is 100 minutes at 12 an hour; then the proof and refitting.
    assert rules(*DARK, limits=Limits(), wants=Preferences(hour=12, worth=15)) == {"worth"}
    assert rules(*DARK, limits=Limits(), wants=Preferences(hour=12, worth=60)) == set()


def test_nothing_is_told_once_everything_is_proven() -> None:
    assert rules(OPENED, Finding("look", "good"), limits=Limits(money=0.5, minutes=0.5)) == set()
