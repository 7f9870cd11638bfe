"""The stages of bring-up on a job's page: cards with limits, verdicts, the stop list, and what holds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from powergood.bench.advising import Subject
from powergood.bench.book import jobs_of
from powergood.bench.editions import lacking_all, limits_of
from powergood.bench.holding import gates_holding
from powergood.bench.refusals import refused
from powergood.bench.stage_holds import away_from_machine
from powergood.bench.stage_standing import Standing, healthy_before, standing_of
from powergood.bench.stage_views import (
    FirstPower,
    StageCard,
    StageReading,
    StageStanding,
    StageStop,
)
from powergood.bench.stage_words import baseline, then, told, verdict, where
from powergood.bench.wording import Wording, outcomes
from powergood.knowledge.bring_up import LABEL, check_outcome, label_of, quantity_of, stages_of
from powergood.knowledge.exceptions import holds_stage
from powergood.knowledge.model import Claim, Limit, MachineModel, Stage
from powergood.record.model import Finding, Reading
from powergood.record.timeline import Timeline


def first_power(about: Subject) -> FirstPower:
    """Return the stages of a job's machine and where it stands in them; none where nothing is known."""
    if about.known is None:
        return FirstPower()
    model, words, job = about.known.model, about.known.words, about.job
    well = tuple(
        (each.number, each.line)
        for each in jobs_of(about.machine)
        if each.number != job.number and each.standing == "signed off"
    )
    standings = [(stage, standing_of(stage, job.line, job.bench.gates)) for stage in stages_of(model)]
    cards: list[StageCard] = []
    reached = False
    for number, (stage, standing) in enumerate(standings, start=1):
        name = "done" if standing.done else _open_standing(standing, reached)
        reached = reached or not standing.done
        card = _card(stage, standing, name, model, words)
        readings = tuple(_reading(stage, limit, standing, well, model) for limit in stage.limits)
        held = () if standing.done else _held_by(stage, words, job.bench.gates, refused(job.line, words))
        lacking = lacking_all(stage, about.known, about.machine)
        cards.append(replace(card, number=number, readings=readings, held_by=held, not_where=lacking))
    now = next((card for card in cards if card.standing != "done"), None)
    stopped = next((card for card in cards if card.standing == "stopped"), None)
    return FirstPower(
        tuple(cards),
        now,
        where(cards, now, stopped),
        stopped,
        told(cards, now),
        limits_of(about.known, about.machine),
        now is not None and (any(standing.worked for _, standing in standings) or not _started(about, words)),
    )


def _started(about: Subject, words: Wording) -> bool:
    """Tell whether a start of the machine as a whole is written down, in this job or another."""
    jobs = {about.job.number: about.job} | {each.number: each for each in jobs_of(about.machine)}
    return any(
        fact.draft.power_up > 0 and isinstance(fact.body, Finding) and _whole(fact.body.check, words)
        for job in jobs.values()
        for fact in job.line.facts
    )


def _whole(name: str, words: Wording) -> bool:
    """Tell whether a look is at the whole machine: not what a stage looks at, no part out or away for it."""
    check = words.checks.get(name)
    if check is None:
        return True
    of_stages = {stage.check for stage in words.stages.values()}
    return name not in of_stages and not check.out and not away_from_machine(check, words)


def stage_cards(model: MachineModel, words: Wording) -> tuple[StageCard, ...]:
    """Return the stages of a kind of machine, for reading: nothing is done yet."""
    cards = []
    for number, stage in enumerate(stages_of(model), start=1):
        readings = tuple(_reading(stage, limit, Standing(), (), model) for limit in stage.limits)
        card = _card(stage, Standing(), "later", model, words)
        cards.append(replace(card, number=number, readings=readings))
    return tuple(cards)


def _open_standing(standing: Standing, reached: bool) -> StageStanding:
    if standing.done is False:
        return "stopped"
    return "later" if reached else "now"


def _held_by(stage: Stage, words: Wording, met: frozenset[str], said_no: frozenset[str]) -> tuple[str, ...]:
    """Return the gates that wait: those of what must be open; with power, those holding it and the check.

    One that was answered with a no says what to do instead: the stage is not for this bench.
    """
    waiting = [gate for opening in stage.open for gate in gates_holding(opening, words, met)]
    waiting += [gate.id for gate in words.gates.values() if holds_stage(gate, stage) and gate.id not in met]
    if stage.check and stage.power != "off":
        waiting += gates_holding(stage.check, words, {*met, *_free(stage, words)})
    names = [name for name in dict.fromkeys(waiting) if name not in stage.meets]
    return tuple(
        f"{words.gate(name)}: answered with no. {words.gates[name].otherwise}"
        if name in said_no
        else words.gate(name)
        for name in names
    )


def _free(stage: Stage, words: Wording) -> set[str]:
    """Return the gates that leave a stage free by name, whatever they say of its check."""
    return {gate.id for gate in words.gates.values() if stage.id in gate.but}


def _card(
    stage: Stage, standing: Standing, name: StageStanding, model: MachineModel, words: Wording
) -> StageCard:
    outcome = outcome_said(stage, standing, words)
    return StageCard(
        stage=stage.id,
        number=0,
        title=stage.title,
        do=stage.do,
        because=stage.because,
        standing=name,
        powered=stage.power != "off",
        minutes=stage.minutes.value,
        fitted=tuple(words.part(part) for part in stage.fitted),
        out=tuple(words.part(part) for part in stage.out),
        open=tuple(words.opening(opening) for opening in stage.open),
        tools=stage.tools,
        cautions=words.cautions_of(stage.cautions),
        both_sides=stage.both_sides,
        stop_if=tuple(StageStop(each.id, each.seen, each.then) for each in stage.stop_if),
        check=stage.check,
        check_ask=words.step(stage.check) if stage.check else "",
        outcome=outcome,
        outcome_words=words.outcome(stage.check, outcome) if outcome else "",
        meets=tuple(words.gate(gate) for gate in stage.meets),
        meets_asks=tuple(words.gates[gate].ask for gate in stage.meets if gate in words.gates),
        words=standing.how,
        at=standing.at,
    )


def outcome_said(stage: Stage, standing: Standing, words: Wording) -> str:
    """Return the outcome of the stage's check that its readings say; empty while they say nothing."""
    check = words.checks.get(stage.check)
    if check is None:
        return ""
    return check_outcome(stage, standing.places, tuple(name for name, _ in outcomes(check)))


def _reading(
    stage: Stage,
    limit: Limit,
    standing: Standing,
    well: Sequence[tuple[int, Timeline]],
    model: MachineModel,
) -> StageReading:
    read = standing.reads.get(limit.id)
    first = next(each for each in stage.limits if each.healthy == limit.healthy)
    sheet = model.healthy.get(limit.healthy, "") if limit.healthy and first is limit else ""
    label = standing.labels.get(limit.id) or _labelled(stage, limit, well)
    return StageReading(
        limit=limit.id,
        quantity=quantity_of(stage, limit),
        title=limit.title,
        unit=limit.label or limit.unit,
        limits=limits_words(limit),
        edition=limit.edition,
        source=_source(limit, model),
        optional=limit.optional,
        text=read.body.text if read else "",
        place=read.place if read else "",
        verdict=verdict(read) if read else "",
        baseline=baseline(read, healthy_before(quantity_of(stage, limit), well), sheet),
        label=f"{limit.id}.{LABEL}" if limit.label else "",
        label_text=label.text if label else "",
        then=then(read, stage) if read else "",
    )


def _labelled(stage: Stage, limit: Limit, well: Sequence[tuple[int, Timeline]]) -> Reading | None:
    """Return the label's figure as it was given when the machine was last well."""
    before = healthy_before(label_of(stage, limit), well) if limit.label else None
    return before[1] if before else None


def limits_words(limit: Limit) -> str:
    """Return what a reading must lie between, in words: "4.75 to 5.25 V"."""
    low, high, unit = limit.low, limit.high, limit.unit + (" of the label's" if limit.label else "")
    if low and high:
        return f"{low.value:g} to {high.value:g} {unit}"
    return f"at least {low.value:g} {unit}" if low else f"at most {high.value:g} {unit}" if high else ""


def _source(limit: Limit, model: MachineModel) -> str:
    titles = {source.id: source.title for source in model.sources}
    claims: list[Claim] = [claim for claim in (limit.low, limit.high) if claim]
    named = dict.fromkeys(titles.get(claim.source, claim.source) for claim in claims)
    return "; ".join(f"{name}, no source" if name == "common practice" else name for name in named)
