"""A fault's page: its signs, what sets it apart, its fixes, and where the numbers come from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from powergood.bench.knowhow.apart import likeliest, neighbours, telling
from powergood.bench.knowhow.numbers import Learned, Numbers, sources_of
from powergood.bench.knowhow.reading import Reading, reading
from powergood.bench.knowhow.strength_words import strength_words
from powergood.bench.knowhow.views import FaultView, FixLine, NumberLine, SignLine
from powergood.bench.wording import without_copy
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.ids import part_of
from powergood.knowledge.model import Fix

MOST_SIGNS: Final = 8
TELLS_FROM: Final = 0.1
"""Judgement: how much a check must speak for a fault to stand among its signs."""


def fault(ws: Workshop, kind: str, name: str, learned: Learned | None = None) -> FaultView:
    """Return a fault's page, as `kind` knows it; a copy's number in the id is passed over.

    Raises
    ------
    UnknownThing : the kind or the fault is not known.
    """
    about = reading(ws.library, kind)
    name = name if name in about.faults else without_copy(name)
    if name not in about.faults:
        raise UnknownThing(f"{about.known.model.title} has no fault {name!r}. Look it up under Know-how.")
    given, line = about.faults[name], about.line(name)
    signs = _signs(about, name)
    strong = telling(about, name)
    numbers = tuple(_numbers(about, name, learned or {}))
    texts = [given.sets_apart, given.danger, *(fix.note for fix, _ in about.fixes_of(name))]
    first = [sign for sign in signs if strong.get(sign.check, 0.0) >= TELLS_FROM][:MOST_SIGNS] or signs[:3]
    return FaultView(
        kind=kind,
        kind_title=about.known.model.title,
        fault=name,
        title=line.title,
        part=line.part,
        where=_where(about, name),
        chance=line.chance,
        copies=line.copies,
        intermittent=given.shows.value if given.shows else 0.0,
        danger=about.known.words.cited(given.danger),
        sets_apart=about.known.words.cited(given.sets_apart),
        signs=tuple(first),
        weaker=tuple(sign for sign in signs if sign not in first),
        unseen=given.unseen,
        neighbours=neighbours(about, name),
        fixes=tuple(_fix_line(about, fix, cures) for fix, cures in about.fixes_of(name)),
        brings=tuple(about.line(other, claim.value) for other, claim in given.makes.items()),
        numbers=numbers,
        sources=sources_of(about.known.model, numbers, texts),
    )


def _signs(about: Reading, fault: str) -> list[SignLine]:
    """Return what each check shows of a fault, the most telling first."""
    strong = telling(about, fault)
    found = []
    for check in sorted(strong, key=lambda each: (-strong[each], each)):
        outcome, strength = likeliest(about.shown[fault][check])
        words = about.known.words
        found.append(
            SignLine(
                check, words.step(check), words.outcome(check, outcome), strength, strength_words(strength)
            )
        )
    return found


def _where(about: Reading, fault: str) -> str:
    part = next((each for each in about.known.model.parts if each.id == part_of(fault)), None)
    if part is None or not part.opening:
        return "Outside, nothing to open"
    return "Behind: " + ", then ".join(each.title.lower() for each in about.way([part.opening]))


def _fix_line(about: Reading, fix: Fix, cures: float) -> FixLine:
    way = about.way(fix.open)
    return FixLine(
        fix=fix.id,
        do=fix.do,
        cures=cures,
        minutes=fix.minutes.value,
        way=sum(each.minutes.value + each.refit.value for each in way),
        elapsed=fix.elapsed.value if fix.elapsed else 0.0,
        money=fix.money.value if fix.money else 0.0,
        opens=tuple(each.title for each in way),
        disturbs=tuple(about.line(name, claim.value) for name, claim in fix.disturbs.items()),
        tools=fix.tools,
        cautions=about.known.words.cautions_of(
            [*fix.cautions, *(name for each in way for name in each.cautions)]
        ),
        wrong_when=tuple(about.known.words.cited(each) for each in fix.wrong_when),
        note=about.known.words.cited(fix.note),
        harm=fix.harm.value if fix.harm else 0.0,
        unexplained=fix.unexplained,
        consent=fix.consent,
    )


def _numbers(about: Reading, name: str, learned: Learned) -> Iterator[NumberLine]:
    lines, given, words = Numbers(about, learned), about.faults[name], about.known.words
    yield from lines.frequency(name)
    yield from lines.share("Shows in one start", given.shows)
    for base, claim in given.breaks.items():
        yield from lines.share(f"Stops: {words.function(base)}", claim)
    for base, claim in given.signs.items():
        yield from lines.share(f"Shows: {words.function(base)}", claim)
    for other, claim in given.makes.items():
        yield from lines.share(f"Brings: {words.fault(other)}", claim)
    for fix, _ in about.fixes_of(name):
        yield from lines.share(f"{fix.do}: cures it", fix.cures.get(name))
        yield from lines.share(f"{fix.do}: the new part is bad", fix.dud)
        yield from lines.amount(f"{fix.do}: hands on", fix.minutes, "min")
        yield from lines.amount(f"{fix.do}: waiting", fix.elapsed, "min")
        yield from lines.amount(f"{fix.do}: money", fix.money, "")
        yield from lines.share(f"{fix.do}: harm", fix.harm)
        for other, claim in fix.disturbs.items():
            yield from lines.share(f"{fix.do}: makes {words.fault(other)}", claim)
