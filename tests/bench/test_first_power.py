"""First power on the bench: stages follow from facts, readings give verdicts, and belief moves with them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from powergood import bench
from powergood.bench import Workshop
from powergood.bench.book import job_of
from powergood.bench.intake_views import TakeIn
from powergood.bench.library import Library
from powergood.bench.stage_holds import after_stages
from powergood.bench.step_cards import step_card
from powergood.errors import BadInput, Refused, UnknownThing
from powergood.record.model import Finding, GateAnswered, Reading

SHEET = "torrolf-433"


@pytest.fixture
def ws(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """A workshop with one desktop, and a job whose other gates are met."""
    workshop = Workshop.create(tmp_path / "workshop", library=library)
    tag = bench.take_in(workshop, TakeIn(name="Desk", sheet=SHEET), key="t")
    _job(workshop, tag, "j")
    yield workshop
    workshop.close()


def _job(ws: Workshop, tag: str, key: str) -> int:
    number = bench.open_job(ws, tag, words="dead", complaint="dead", wanted=("holds",), key=key)
    gates = [gate.gate for gate in bench.job(ws, number).gates if gate.gate != "supply-proven"]
    bench.record(ws, number, [GateAnswered(gate, True) for gate in gates], key=f"{key}g")
    return number


def card(view, stage: str):
    return next(each for each in view.first_power.stages if each.stage == stage)


def bodies(ws: Workshop, kind: type) -> list:
    return [fact.body for fact in ws.store.facts(job=1) if isinstance(fact.body, kind)]


def to_rails(ws: Workshop, job: int = 1) -> None:
    """Go through the stages up to the rails with the board on."""
    bench.note_readings(ws, job, "supply-alone", {"five": "5.02", "twelve": "12.1"}, key=f"a{job}")
    bench.finish_stage(ws, job, "supply-alone", key=f"b{job}")
    bench.note_readings(ws, job, "board-ohms", {"five-ohms": "38", "twelve-ohms": "410"}, key=f"c{job}")
    bench.finish_stage(ws, job, "board-ohms", key=f"d{job}")
    bench.finish_stage(ws, job, "board-bare", key=f"e{job}")


def test_a_supply_without_standby_rail_begins_with_the_supply_alone(ws) -> None:
    view = bench.job(ws, 1)
    assert view.first_power.now.stage == "supply-alone"
    assert "standby-alone" not in [each.stage for each in view.first_power.stages]


def test_a_reading_is_kept_as_typed_and_gets_its_verdict(ws) -> None:
    view = bench.note_readings(ws, 1, "supply-alone", {"five": "5.02 V", "twelve": "12.58"}, key="r")
    first, second, *_ = view.first_power.now.readings
    assert (first.place, second.place) == ("inside", "too near to tell")
    assert "give or take" in first.verdict
    assert [each.text for each in bodies(ws, Reading)] == ["5.02 V", "12.58 V"]
    assert "5 V rail: 5.02 V" in view.record[-2].sentence


def test_a_better_meter_settles_what_was_too_near_to_tell(ws) -> None:
    view = bench.note_readings(ws, 1, "supply-alone", {"twelve": "12.58"}, instrument="0.05 % + 1", key="r")
    assert view.first_power.now.readings[1].place == "inside"


def test_a_stage_that_is_done_meets_the_gate_that_it_proves(ws) -> None:
    bench.note_readings(ws, 1, "supply-alone", {"five": "5.02", "twelve": "12.1"}, key="r")
    view = bench.finish_stage(ws, 1, "supply-alone", key="d")
    assert card(view, "supply-alone").standing == "done"
    assert next(gate for gate in view.gates if gate.gate == "supply-proven").met
    assert view.first_power.now.stage == "board-ohms"


def test_the_tick_of_a_gate_does_not_make_the_stage_done_that_proves_it(ws) -> None:
    view = bench.record(ws, 1, [GateAnswered("supply-proven", True)], key="g")
    assert card(view, "supply-alone").standing == "now"
    with pytest.raises(Refused, match="not read yet: 5 V rail, 12 V rail"):
        bench.finish_stage(ws, 1, "supply-alone", key="d")


def test_taking_back_the_gate_that_a_stage_proved_undoes_the_stage(ws) -> None:
    view = bench.finish_stage(ws, 1, "supply-alone", "read last week", key="d")
    assert card(view, "supply-alone").standing == "done"
    view = bench.record(ws, 1, [GateAnswered("supply-proven", False)], key="h")
    assert card(view, "supply-alone").standing == "now"


def test_what_lies_outside_stops_the_stage_until_it_is_read_again(ws) -> None:
    view = bench.note_readings(ws, 1, "supply-alone", {"five": "5.60", "twelve": "12.1"}, key="r")
    assert card(view, "supply-alone").standing == "stopped"
    with pytest.raises(Refused, match="outside its limits"):
        bench.finish_stage(ws, 1, "supply-alone", "never mind", key="d")
    view = bench.note_readings(ws, 1, "supply-alone", {"five": "5.03"}, key="s")
    assert card(view, "supply-alone").standing == "now"


def test_what_was_not_read_must_be_let_go_in_words(ws) -> None:
    with pytest.raises(Refused, match="not read yet: 5 V rail, 12 V rail"):
        bench.finish_stage(ws, 1, "supply-alone", key="d")
    view = bench.finish_stage(ws, 1, "supply-alone", "read last week, in the notebook", key="e")
    assert card(view, "supply-alone").words == "read last week, in the notebook"


def test_the_readings_of_a_stage_are_the_outcome_of_its_check_and_belief_moves(ws) -> None:
    to_rails(ws)
    before = {each.fault: each.chance for each in bench.job(ws, 1).advice.faults}
    view = bench.note_readings(ws, 1, "board-rails", {"five": "4.30", "twelve": "11.9"}, key="r")
    found = bodies(ws, Finding)[-1]
    assert (found.check, found.outcome) == ("measure-rails", "rails-right")
    after = {each.fault: each.chance for each in view.advice.faults}
    assert any(abs(after[name] - before[name]) > 0.05 for name in after)


def test_readings_may_be_kept_without_the_check(ws) -> None:
    to_rails(ws)
    count = len(bodies(ws, Finding))
    bench.note_readings(ws, 1, "board-rails", {"five": "4.30", "twelve": "11.9"}, with_check=False, key="r")
    assert len(bodies(ws, Finding)) == count


def test_stopping_takes_back_what_no_longer_holds_and_says_why(ws) -> None:
    to_rails(ws)
    view = bench.stop_stage(ws, 1, "board-rails", "high", "pin 9", key="s")
    assert view.first_power.stopped.stage == "board-rails"
    assert view.first_power.now.stage == "supply-alone"
    assert "To be done again first: Stage 1" in view.first_power.words
    assert not next(gate for gate in view.gates if gate.gate == "supply-proven").met
    assert card(view, "board-rails").words == "A rail above its limit: pin 9"
    assert bodies(ws, Finding)[-1].outcome == "rail-high"


def test_stopping_needs_a_reason(ws) -> None:
    with pytest.raises(BadInput, match="Say what you stopped at"):
        bench.stop_stage(ws, 1, "supply-alone", "", key="s")


def test_every_bad_reading_is_told_at_once_and_nothing_is_written(ws) -> None:
    with pytest.raises(BadInput) as told:
        bench.note_readings(ws, 1, "supply-alone", {"five": "5 A", "twelve": "lots", "six": "6 V"}, key="r")
    assert all(name in str(told.value) for name in ("five:", "twelve:", "six:"))
    assert bodies(ws, Reading) == []


def test_a_powered_stage_waits_for_its_gates(ws) -> None:
    bench.record(ws, 1, [GateAnswered("mains-setting-read", False)], key="m")
    assert bench.job(ws, 1).first_power.now.held_by == ("Voltage selector read",)
    with pytest.raises(Refused, match="Voltage selector read"):
        bench.finish_stage(ws, 1, "supply-alone", "anyway", key="d")


def test_the_last_signed_off_job_is_the_baseline(ws) -> None:
    bench.note_readings(ws, 1, "supply-alone", {"five": "5.05"}, key="r")
    bench.sign_off(ws, 1, "runs", key="o")
    number = _job(ws, bench.job(ws, 1).machine.tag, "k")
    same = bench.note_readings(ws, number, "supply-alone", {"five": "5.03"}, key="s")
    assert "job 1: 5.05 V; the same now" in card(same, "supply-alone").readings[0].baseline
    lower = bench.note_readings(ws, number, "supply-alone", {"five": "4.85"}, key="u")
    assert "now lower by 200 mV" in card(lower, "supply-alone").readings[0].baseline


def test_a_form_sent_twice_adds_nothing(ws) -> None:
    for _ in range(2):
        bench.note_readings(ws, 1, "supply-alone", {"five": "5.02"}, key="same")
        bench.stop_stage(ws, 1, "supply-alone", "smoke", key="stop")
    assert len(bodies(ws, Reading)) == 1
    assert len([each for each in bodies(ws, GateAnswered) if each.gate == "supply-alone"]) == 1


def test_a_stage_that_there_is_not_is_named_with_those_there_are(ws) -> None:
    with pytest.raises(UnknownThing, match=r"no stage 'suply'.*supply-alone"):
        bench.finish_stage(ws, 1, "suply", key="d")


@pytest.mark.parametrize(
    ("sheet", "first"),
    [
        ("quillane-tr14", "adapter-alone"),
        ("wendle-pip-48", "brick-alone"),
        ("marlane-tutor-b", "inside-alone"),
        ("hallenby-pica-3", "board-ohms"),
        ("verrin-slate-3", "board-ohms"),
        ("merrow-hearth-700", "standby-alone"),
    ],
)
def test_each_class_begins_true_to_its_kind(tmp_path, library, sheet, first) -> None:
    ws = Workshop.create(tmp_path / "w", library=library)
    tag = bench.take_in(ws, TakeIn(name="It", sheet=sheet), key="t")
    number = bench.open_job(ws, tag, words="dead", wanted=(), complaint="", key="j")
    assert bench.job(ws, number).first_power.now.stage == first
    ws.close()


def test_a_stage_without_power_waits_for_the_gates_of_what_must_be_open(tmp_path, library) -> None:
    ws = Workshop.create(tmp_path / "w", library=library)
    tag = bench.take_in(ws, TakeIn(name="It", sheet="hallenby-pica-3"), key="t")
    number = bench.open_job(ws, tag, words="dead", wanted=(), complaint="", key="j")
    first = bench.job(ws, number).first_power.now
    assert first.stage == "board-ohms"
    assert "Tube rules kept" in first.held_by
    with pytest.raises(Refused, match="Tube rules kept"):
        bench.finish_stage(ws, number, first.stage, "anyway", key="d")
    gates = [GateAnswered(gate.gate, True) for gate in bench.job(ws, number).gates]
    bench.record(ws, number, [each for each in gates if each.gate != "supply-proven"], key="g")
    assert bench.job(ws, number).first_power.now.held_by == ()
    ws.close()


@pytest.fixture
def laptop(tmp_path: Path, library: Library) -> Iterator[Workshop]:
    """A workshop with one laptop, whose first stage holds its adapter against its label."""
    workshop = Workshop.create(tmp_path / "laptops", library=library)
    tag = bench.take_in(workshop, TakeIn(name="Lap", sheet="brenlund-n480"), key="t")
    bench.open_job(workshop, tag, words="dead", complaint="dead", wanted=("types",), key="j")
    yield workshop
    workshop.close()


@pytest.mark.parametrize(
    ("label", "read", "place"),
    [
        ("15", "15.1", "inside"),
        ("15 V", "13.95 V", "below"),
        ("20 V", "15.1 V", "below"),
        ("15 V", "16.2", "above"),
        ("15 V", "14.30 V", "too near to tell"),  # 0.0915 V of error round 14.25 V
        ("15 V", "0.3", "nothing"),
        ("", "101.0 %", "inside"),
    ],
)
def test_volts_are_held_against_the_volts_of_the_label(laptop, label: str, read: str, place: str) -> None:
    texts = {"share.label": label, "share": read}
    view = bench.note_readings(laptop, 1, "adapter-alone", texts, key="r")
    assert card(view, "adapter-alone").readings[0].place == place


def test_the_verdict_says_what_share_of_the_label_it_is_and_the_check_follows(laptop) -> None:
    view = bench.note_readings(laptop, 1, "adapter-alone", {"share.label": "15", "share": "13.5"}, key="r")
    reading = card(view, "adapter-alone").readings[0]
    assert "90 % of the label's: outside: too low" in reading.verdict
    assert (reading.unit, reading.label_text, reading.limits) == ("V", "15 V", "95 to 105 % of the label's")
    assert bodies(laptop, Finding)[-1] == Finding("load-adapter", "bad", note="from the readings 13.5 V")


def test_volts_without_the_labels_figure_are_asked_for_it_and_a_later_one_judges_anew(laptop) -> None:
    _, wrong = bench.readings_of(laptop, 1, "adapter-alone", {"share": "15.1 V"})
    assert set(wrong) == {"share.label"}
    _, wrong = bench.readings_of(laptop, 1, "adapter-alone", {"share": "15.1 A", "share.label": "-15 V"})
    assert set(wrong) == {"share", "share.label"}
    bench.note_readings(laptop, 1, "adapter-alone", {"share": "15.1 V", "share.label": "15 V"}, key="a")
    written = len(bodies(laptop, Reading))
    bench.note_readings(laptop, 1, "adapter-alone", {"share": "15.1 V", "share.label": "15 V"}, key="b")
    assert len(bodies(laptop, Reading)) == written + 1
    view = bench.note_readings(laptop, 1, "adapter-alone", {"share.label": "19 V"}, key="c")
    assert card(view, "adapter-alone").readings[0].place == "below"
    assert card(view, "adapter-alone").standing == "stopped"


def test_taking_a_reading_back_takes_back_the_finding_that_came_of_it_and_says_so(ws) -> None:
    to_rails(ws)
    untouched = bench.job(ws, 1)
    bench.note_readings(ws, 1, "board-rails", {"five": "4.30", "twelve": "11.9"}, key="r")
    five = next(fact.number for fact in ws.store.facts(job=1) if fact.draft.key == "r/1")
    view = bench.withdraw(ws, 1, five, "wrong range", key="w")
    lines = {line.fact: line for line in view.record}
    found = next(line for line in view.record if line.kind == "finding" and line.fact > five)
    assert found.withdrawn
    assert found.withdrawn_because == f"it came of fact {five}, which was taken back"
    assert lines[five].withdrawn_because == "wrong range"
    before = {each.fault: each.chance for each in untouched.advice.faults}
    assert {each.fault: each.chance for each in view.advice.faults} == pytest.approx(before)
    again = bench.withdraw(ws, 1, five, "wrong range", key="w")
    assert len(again.record) == len(view.record)


def test_what_the_readings_left_say_is_written_down_instead(ws) -> None:
    to_rails(ws)
    bench.note_readings(ws, 1, "board-rails", {"five": "5.02", "twelve": "10.2"}, key="r")
    bench.note_readings(ws, 1, "board-rails", {"five": "5.60"}, key="s")
    high = bodies(ws, Finding)[-1].outcome
    five = next(fact.number for fact in ws.store.facts(job=1) if fact.draft.key == "s/1")
    view = bench.withdraw(ws, 1, five, "read the wrong pin", key="w")
    stands = [line for line in view.record if line.kind == "finding" and not line.withdrawn]
    assert high == "rail-high"
    assert not [line for line in stands if "high" in line.sentence.split(": ")[-1]]
    assert card(view, "board-rails").readings[1].place == "below"
    assert view.record[-1].withdrawn is False


def test_taking_a_stop_back_takes_back_what_it_stood_for(ws) -> None:
    to_rails(ws)
    bench.stop_stage(ws, 1, "board-rails", "high", "pin 9", key="s")
    stop = next(fact.number for fact in ws.store.facts(job=1) if fact.draft.key == "s/1")
    view = bench.withdraw(ws, 1, stop, "it was the meter", key="w")
    assert view.first_power.stopped is None
    assert next(gate for gate in view.gates if gate.gate == "supply-proven").met
    assert view.first_power.now.stage == "board-rails"


def test_a_finding_pressed_by_hand_stays_when_a_reading_is_taken_back(ws) -> None:
    to_rails(ws)
    bench.note_readings(ws, 1, "board-rails", {"five": "5.02"}, with_check=False, key="r")
    bench.record(ws, 1, [Finding("measure-rails", "rails-right")], key="f")
    five = next(fact.number for fact in ws.store.facts(job=1) if fact.draft.key == "r/1")
    view = bench.withdraw(ws, 1, five, "slip", key="w")
    assert [line.withdrawn for line in view.record if line.kind == "finding"][-1] is False


@pytest.mark.parametrize("stage", ["supply-alone", "board-ohms", "board-rails"])
def test_good_readings_never_end_a_stage_so_that_the_tick_after_them_is_for_that_stage(ws, stage) -> None:
    good = {"five": "5.02", "twelve": "12.1", "five-ohms": "38", "twelve-ohms": "410"}
    model = ws.library.known(SHEET).words
    texts = {limit.id: good[limit.id] for limit in model.stages[stage].limits if limit.id in good}
    for before in ("supply-alone", "board-ohms", "board-bare")[: list(model.stages).index(stage)]:
        bench.finish_stage(ws, 1, before, "let go here", key=f"k{before}")
    view = bench.note_readings(ws, 1, stage, texts, key="r")
    assert view.first_power.now.stage == stage
    assert "tick below that the stage is done" in view.first_power.told
    view = bench.finish_stage(ws, 1, stage, key="d")
    assert card(view, stage).standing == "done"
    assert [each.standing for each in view.first_power.stages].count("done") == list(model.stages).index(
        stage
    ) + 1


def test_a_check_found_good_by_a_look_of_its_own_is_not_asked_again_as_a_stage(ws) -> None:
    bench.finish_stage(ws, 1, "supply-alone", "let go here", key="k")
    view = bench.record(ws, 1, [Finding("rail-ohms", "good")], key="f")
    assert card(view, "board-ohms").standing == "done"
    assert view.first_power.told.startswith(
        "Stage 2, Board: each rail to ground, unplugged, is done: its check"
    )


def test_a_reading_that_is_not_plainly_good_says_what_to_do_next(ws) -> None:
    view = bench.note_readings(ws, 1, "supply-alone", {"five": "4.30", "twelve": "12.58"}, key="r")
    five, twelve, *_ = view.first_power.now.readings
    assert five.then.startswith("Switch off and unplug.")
    assert "Read it again with a better meter" in twelve.then
    assert "too low" in view.first_power.told
    assert view.first_power.begun


@pytest.mark.parametrize("sheet", ["torrolf-433", "hallenby-pica-3", "marlane-tutor-b", "quillane-tr14"])
def test_as_many_conditions_are_said_to_come_first_as_are_listed(tmp_path, sheet) -> None:
    ws = Workshop.create(tmp_path / "w")
    tag = bench.take_in(ws, TakeIn(name="It", sheet=sheet), key="t")
    number = bench.open_job(ws, tag, words="dead", key="j")
    view = bench.job(ws, number)
    due = [gate.gate for gate in view.gates if gate.due]
    assert {gate.gate for gate in view.pad.held_by} <= set(due)
    assert view.where == f"{len(due)} safety conditions are to be met first."
    assert next(each.where for each in bench.board(ws).open) == view.where
    ws.close()


def test_good_readings_of_a_stage_that_waits_for_a_tick_say_that_it_does(ws) -> None:
    view = bench.note_readings(ws, 1, "supply-alone", {"five": "5.02"}, key="r")
    assert "tick below" not in view.first_power.told
    view = bench.note_readings(ws, 1, "supply-alone", {"twelve": "12.1"}, key="s")
    assert view.first_power.told.endswith("All of it is in order; tick below that the stage is done.")


def test_what_a_stage_forbids_is_not_advised_while_it_is_not_through(ws) -> None:
    bench.record(ws, 1, [GateAnswered("supply-proven", True)], key="p")
    words = ws.library.known(SHEET).words
    held = {}
    for stage in [each.stage for each in bench.job(ws, 1).first_power.stages]:
        view = bench.job(ws, 1)
        shown = {each.step for each in (view.next, *view.steps) if each}
        checks = [each.step for each in view.advice.steps if each.kind == "check"]
        held[stage] = [each for each in checks if words.checks[each].power != "off" and each not in shown]
        out = {home.id for home in words.homes.values() if home.id in words.stages[stage].out}
        for check in (words.checks[each] for each in shown if each in words.checks):
            if view.first_power.now.stage == stage and check.power != "off":
                assert words.stages[stage].power != "off", (stage, check.id)
                assert check.id == words.stages[stage].check or out <= {*check.out}, (stage, check.id)
        bench.finish_stage(ws, 1, stage, "let go here", key=f"k{stage}")
    assert held["board-ohms"]
    assert bench.job(ws, 1).next_waits == ""


def test_where_the_best_step_waits_the_stage_is_said_to_be_the_step(ws) -> None:
    bench.record(ws, 1, [GateAnswered("supply-proven", True)], key="p")
    bench.finish_stage(ws, 1, "supply-alone", "read last week", key="k")
    view = bench.job(ws, 1)
    words = ws.library.known(SHEET).words
    cards = [step_card(each, words) for each in view.advice.steps]
    start = next(each for each in cards if each.kind == "check" and words.checks[each.step].power == "start")
    look = replace(start, step="rail-ohms", ask="Measure")
    stop = replace(start, step="stop", kind="stop")
    power, here = view.first_power, job_of(ws, 1).bench
    free, said = after_stages((start, look, stop), power, words, here)
    assert free == (look, stop)
    assert start.ask.rstrip(".") in said
    assert "stage 2 of 6, Board: each rail to ground, unplugged" in said
    assert after_stages((start, stop), power, words, here)[0] == ()
    assert after_stages((look, start), power, words, here) == ((look,), "")


def test_the_stages_left_are_let_go_in_words_but_not_what_proves_the_supply(ws) -> None:
    with pytest.raises(Refused, match="Supply proven"):
        bench.let_stages_go(ws, 1, "ran last week", key="a")
    bench.record(ws, 1, [GateAnswered("supply-proven", True)], key="p")
    with pytest.raises(Refused, match="in words"):
        bench.let_stages_go(ws, 1, " ", key="b")
    view = bench.let_stages_go(ws, 1, "ran last week", key="c")
    assert view.first_power.now is None
    assert view.next_waits == ""


def test_a_stage_that_was_stopped_is_not_let_go_with_the_rest(ws) -> None:
    bench.stop_stage(ws, 1, "supply-alone", "smoke", key="s")
    with pytest.raises(Refused, match="was stopped"):
        bench.let_stages_go(ws, 1, "ran last week", key="c")


def test_what_must_be_so_with_the_processor_in_stands_before_the_first_power(ws) -> None:
    tag = bench.take_in(ws, TakeIn(name="Tower", sheet="at-atx-desktop"), key="u")
    number = bench.open_job(ws, tag, words="freezes after ten minutes", key="k")
    view = bench.job(ws, number)
    assert "cooler-fitted" in [gate.gate for gate in view.gates if gate.due]
    assert "Cooler on the processor" in card(view, "board-bare").held_by
    assert "Cooler on the processor" in card(view, "board-rails").held_by
    assert "Cooler on the processor" not in card(view, "supply-alone").held_by


def test_a_stage_whose_rail_an_edition_lacks_says_so_until_the_edition_is_said(ws) -> None:
    tag = bench.take_in(ws, TakeIn(name="Tower", sheet="at-atx-desktop"), key="u")
    number = bench.open_job(ws, tag, words="freezes after ten minutes", key="k")
    first = bench.job(ws, number).first_power.now
    assert first.stage == "standby-alone"
    assert [each.edition for each in first.not_where] == ["at"]
    assert "no standby rail" in first.not_where[0].told_by
    bench.describe(ws, tag, {"edition": "at"}, key="e")
    power = bench.job(ws, number).first_power
    assert "standby-alone" not in [each.stage for each in power.stages]
    assert not any(each.not_where for each in power.stages)
    bench.describe(ws, tag, {"edition": "atx-2-1"}, key="f")
    first = bench.job(ws, number).first_power.now
    assert (first.stage, first.not_where) == ("standby-alone", ())


def test_a_reading_too_near_to_tell_says_what_it_can_mean_and_where_to_measure_again(ws) -> None:
    to_rails(ws)
    view = bench.note_readings(ws, 1, "board-rails", {"five": "4.71", "twelve": "12.1"}, key="r")
    near, well = view.first_power.now.readings[:2]
    assert near.place == "too near to tell"
    assert "can be the complaint itself" in near.then
    assert "at the board's own plug" in near.then
    assert "better meter" in near.then
    assert well.then == ""


def test_a_look_ticked_with_a_condition_is_no_start_of_the_machine(ws) -> None:
    before = bench.job(ws, 1)
    assert before.first_power.leads
    view = bench.answer_gate(ws, 1, "supply-proven", met=True, boxes=("supply-on-dummy-load",), key="g")
    assert Finding("supply-on-dummy-load", "good") in bodies(ws, Finding)
    assert view.first_power.leads
    assert view.first_power.now.stage == "supply-alone"


def test_a_start_of_the_whole_machine_ends_the_lead_of_stages_nobody_began(ws) -> None:
    view = bench.record(ws, 1, [Finding("pad-lamps", "good")], key="s", power_up=1)
    assert not view.first_power.leads


def test_taking_back_one_stage_let_go_leaves_the_others(ws) -> None:
    bench.record(ws, 1, [GateAnswered("supply-proven", True)], key="p")
    bench.let_stages_go(ws, 1, "ran last week", key="c")
    number = next(
        fact.number
        for fact in ws.store.facts(job=1)
        if isinstance(fact.body, GateAnswered) and fact.body.gate == "board-ohms"
    )
    view = bench.withdraw(ws, 1, number, "not so", key="w")
    assert [each.stage for each in view.first_power.stages if each.standing != "done"] == ["board-ohms"]
    bench.let_stages_go(ws, 1, "ran last week", key="d")
    facts = list(ws.store.facts(job=1))
    bench.let_stages_go(ws, 1, "ran last week", key="d")
    assert list(ws.store.facts(job=1)) == facts
    with pytest.raises(Refused, match="No stage"):
        bench.let_stages_go(ws, 1, "ran last week", key="e")
