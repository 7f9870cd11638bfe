"""Steps of an advice as cards: words for every id, buttons for every outcome, cautions at the step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from powergood.bench.grid_views import GridView
from powergood.bench.grids import drawn
from powergood.bench.holding import gates_holding
from powergood.bench.openings import outermost_first, still_closed
from powergood.bench.step_views import Leaning, OutcomeKey, StepCard
from powergood.bench.timing import choices
from powergood.bench.wording import Wording, outcomes, split_step
from powergood.diagnosis import Advice, Against, Step
from powergood.knowledge.model import Check
from powergood.record.timeline import Bench
from powergood.units import in_100

SMALLEST_HARM = 0.001
"""Judgement: a chance of breaking something below this is not worth a sentence."""

TIMED = ("check", "fix", "opening", "refit")
"""Kinds of step that are asked how long they took; never required."""

_DONE_KEYS = {
    "fix": (("done", "Done"),),
    "opening": (("opened", "It is open"),),
    "refit": (("refitted", "It is closed again"),),
    "gate": (("met", "Yes"), ("not met", "Not yet")),
    "stop": (),
}


def told_once(against: Sequence[Against]) -> tuple[str, ...]:
    """Return what a step is held against in words, each step once: what is obvious says more of it."""
    obvious = {each.step for each in against if each.because != "next best"}
    return tuple(each.words for each in against if each.because != "next best" or each.step not in obvious)


def step_cards(advice: Advice, words: Wording) -> tuple[StepCard, ...]:
    """Return the cards of all advised steps, best first; the first says what it is held against."""
    cards = [step_card(each, words) for each in advice.steps]
    first = [replace(each, against=told_once(advice.against)) for each in cards[:1]]
    return (*first, *cards[1:])


def step_card(step: Step, words: Wording) -> StepCard:
    """Return the card of one advised step."""
    asks = step.kind == "check"
    warned = [*step.cautions]
    for name in step.opens:
        warned += words.openings[name].cautions if name in words.openings else ()
    return StepCard(
        step=step.step,
        kind=step.kind,
        ask=step.ask or words.step(step.step),
        copy=step.copy or split_step(step.step)[1],
        cautions=words.cautions_of(warned),
        keys=_check_keys(step, words) if asks else _plain_keys(step.kind),
        no_verdict=asks,
        not_sure=asks,
        minutes=step.minutes,
        elapsed=step.elapsed,
        money=step.money,
        opens=tuple(words.opening(name) for name in step.opens),
        refits=tuple(words.opening(name) for name in step.refits),
        harm=harm_words(step.harm),
        tools=step.tools,
        consent=step.consent,
        wrong_when=tuple(words.plain(each) for each in step.wrong_when),
        cures=tuple(Leaning(name, words.fault(name), chance) for name, chance in step.cures),
        why=step.why,
        expected_total=step.expected_total,
        note=words.plain(step.note),
        raw=step,
        took=choices(step.minutes) if step.kind in TIMED else (),
        grid=_grid(step.step, words) if asks else None,
    )


def _grid(step: str, words: Wording) -> GridView | None:
    check = words.checks.get(split_step(step)[0])
    return drawn(check, words) if check else None


def _check_keys(step: Step, words: Wording) -> tuple[OutcomeKey, ...]:
    return tuple(
        OutcomeKey(
            outcome=each.outcome,
            words=each.words or words.outcome(step.step, each.outcome),
            chance=each.chance,
            leaves=tuple(Leaning(name, words.part(name), chance) for name, chance in each.leaves),
        )
        for each in step.outcomes
        if each.outcome != "no verdict"
    )


def _plain_keys(kind: str) -> tuple[OutcomeKey, ...]:
    return tuple(OutcomeKey(outcome, said) for outcome, said in _DONE_KEYS.get(kind, ()))


def plain_keys_of(check: Check, words: Wording) -> tuple[OutcomeKey, ...]:
    """Return the buttons of a check from the knowledge alone, without chances."""
    return tuple(OutcomeKey(name, words.outcome(check.id, name)) for name, _ in outcomes(check))


def harm_words(harm: float) -> str:
    """Return one sentence for a chance of breaking something; empty when it is next to nothing."""
    if harm < SMALLEST_HARM:
        return ""
    return f"It may break something: {in_100(harm)} times."


def refit_cards(words: Wording, bench: Bench) -> tuple[StepCard, ...]:
    """Return what is to be closed again once everything wanted is proven, innermost first."""
    opened = outermost_first(words.openings, bench.opened)
    specs = [words.openings[name] for name in reversed(opened) if name in bench.opened]
    return tuple(
        StepCard(
            step=spec.id,
            kind="refit",
            ask=f"Fit again what was opened: {spec.title}",
            cautions=words.cautions_of(spec.cautions),
            keys=_plain_keys("refit"),
            minutes=spec.refit.value,
            took=choices(spec.refit.value),
            why="Everything wanted is proven; the machine can be made whole.",
        )
        for spec in specs
    )


def unpowered_cards(words: Wording, bench: Bench) -> tuple[StepCard, ...]:
    """Return the checks that need no power, as cards without advice, what is reached already first.

    Checks that a gate holds back are left out: without advice nobody weighs the gates.
    """
    cards = []
    for check in words.checks.values():
        opens = still_closed(words.openings, check.open, bench.opened)
        if check.power != "off" or gates_holding(check.id, words, bench.gates):
            continue
        warned = [*check.cautions, *(name for each in opens for name in words.openings[each].cautions)]
        minutes = check.minutes.value + sum(words.openings[name].minutes.value for name in opens)
        cards.append(
            StepCard(
                step=check.id,
                kind="check",
                ask=check.ask,
                cautions=words.cautions_of(warned),
                keys=plain_keys_of(check, words),
                no_verdict=True,
                not_sure=True,
                minutes=minutes,
                opens=tuple(words.opening(name) for name in opens),
                harm=harm_words(check.harm.value if check.harm else 0.0),
                tools=check.tools,
                wrong_when=tuple(words.plain(each) for each in check.wrong_when),
                grid=drawn(check, words),
            )
        )
    return tuple(sorted(cards, key=lambda card: (card.minutes, card.step)))
