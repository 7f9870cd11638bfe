"""A check's page: what it tells, when it lies, what it takes, and where the numbers come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from powergood.bench.grids import drawn
from powergood.bench.knowhow.numbers import Learned, Numbers, sources_of
from powergood.bench.knowhow.reading import Reading, reading
from powergood.bench.knowhow.views import CheckView, NumberLine, OutcomeLine
from powergood.bench.wording import outcomes, split_step
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.knowledge.model import Check

MOST_FAULTS: Final = 8
POWER_WORDS: Final = {
    "off": "Unplugged",
    "on": "Running, after a start",
    "start": "A start of its own",
}


def check(ws: Workshop, kind: str, name: str, learned: Learned | None = None) -> CheckView:
    """Return a check's page, as `kind` knows it; a copy's number in the id is passed over.

    Raises
    ------
    UnknownThing : the kind or the check is not known.
    """
    about = reading(ws.library, kind)
    words = about.known.words
    given = words.checks.get(split_step(name)[0])
    if given is None:
        raise UnknownThing(f"{about.known.model.title} has no check {name!r}. Look it up under Know-how.")
    way = about.way(given.open)
    numbers = tuple(_numbers(about, given, learned or {}))
    return CheckView(
        kind=kind,
        kind_title=about.known.model.title,
        check=given.id,
        ask=given.ask,
        tells=words.cited(given.tells),
        power=POWER_WORDS[given.power],
        outcomes=tuple(_outcomes(about, given)),
        grid=drawn(given, words),
        wrong_when=tuple(words.cited(each) for each in given.wrong_when),
        false_alarm=given.false_alarm.value,
        no_verdict=given.no_verdict.value if given.no_verdict else 0.0,
        minutes=given.minutes.value,
        way=sum(each.minutes.value + each.refit.value for each in way),
        elapsed=given.elapsed.value if given.elapsed else 0.0,
        money=given.money.value if given.money else 0.0,
        harm=given.harm.value if given.harm else 0.0,
        opens=tuple(each.title for each in way),
        takes_out=tuple(words.part(part) for part in (*given.out, *given.instead)),
        tools=given.tools,
        cautions=words.cautions_of([*given.cautions, *(name for each in way for name in each.cautions)]),
        numbers=numbers,
        sources=sources_of(about.known.model, numbers, [given.ask, given.tells, *given.wrong_when]),
    )


def _outcomes(about: Reading, given: Check) -> Iterator[OutcomeLine]:
    """Yield each outcome with the faults it speaks for; the good one with those it speaks against."""
    seen = about.seen_by(given.id)
    for outcome, _ in outcomes(given):
        good = outcome == "good"
        caught = {
            fault: sum(shown.values()) if good else shown.get(outcome, 0.0) for fault, shown in seen.items()
        }
        share = {fault: about.chances.get(fault, 0.0) * chance for fault, chance in caught.items()}
        ranked = sorted((name for name in share if share[name] > 0), key=lambda name: (-share[name], name))
        whole = sum(share.values()) or 1.0
        yield OutcomeLine(
            about.known.words.outcome(given.id, outcome),
            tuple(
                about.line(name, min(1.0, caught[name]) if good else share[name] / whole)
                for name in ranked[:MOST_FAULTS]
            ),
            max(0, len(ranked) - MOST_FAULTS),
            against=good,
        )


def _numbers(about: Reading, given: Check, learned: Learned) -> Iterator[NumberLine]:
    lines = Numbers(about, learned)
    yield from lines.chance("false-alarm", given.id, "A sound machine fails it", given.false_alarm)
    yield from lines.share("It gives no verdict", given.no_verdict)
    yield from lines.amount("Hands on", given.minutes, "min")
    yield from lines.amount("Waiting", given.elapsed, "min")
    yield from lines.amount("For what comes and goes it counts as", given.starts, "starts")
    yield from lines.amount("Money", given.money, "")
    yield from lines.share("Harm", given.harm)
    for each in about.way(given.open):
        yield from lines.amount(f"To open: {each.title}", each.minutes, "min")
        yield from lines.amount(f"To close: {each.title}", each.refit, "min")
