"""Before power, the first start, and when to stop: the safety side of a kind of machine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from powergood.bench.editions import edition_lines
from powergood.bench.first_power import stage_cards
from powergood.bench.holding import held_in_words
from powergood.bench.knowhow.family_page import check_line
from powergood.bench.knowhow.reading import Reading, reading
from powergood.bench.knowhow.views import CheckLine, EditionLine, GateWords, SafetyView, StopIf
from powergood.bench.sentences import ticked_words
from powergood.bench.wording import outcomes
from powergood.bench.workshop import Workshop
from powergood.knowledge.model import Gate
from powergood.knowledge.stops import stops

STOPS_FROM: Final = 0.3
"""Judgement: a look stands in the stop list when a dangerous fault shows in it at least so often."""


def safety(ws: Workshop, kind: str) -> SafetyView:
    """Return the gates, the way to the first start, and what to switch off for.

    Raises
    ------
    UnknownThing : no pack has it.
    """
    about = reading(ws.library, kind)
    model, words = about.known.model, about.known.words
    gates = tuple(_gate(about, each) for each in model.gates)
    looks = [check for check in model.checks if check.on_pad]
    before = [check for check in model.checks if check.power == "off" and not check.open and not check.out]
    return SafetyView(
        kind=kind,
        title=model.title,
        gates=gates,
        before=_quickest(check_line(about, check) for check in before),
        first_start=tuple(check_line(about, check) for check in looks),
        stop_if=tuple(_stops(about)),
        cautions=words.cautions_of(each.id for each in model.cautions if each.id in _used(about)),
        stages=stage_cards(model, words),
        editions=_editions(ws, about),
    )


def _editions(ws: Workshop, about: Reading) -> tuple[EditionLine, ...]:
    sheet = ws.library.sheet(about.kind)
    known = edition_lines(about.known.family)
    return tuple(each for each in known if sheet and each.edition == sheet.edition) or known


def _gate(about: Reading, gate: Gate) -> GateWords:
    cautions = about.known.words.cautions_of(gate.cautions)
    held = "; ".join(held_in_words(gate, about.known.words))
    looks = ticked_words(gate.id, about.known.words)
    return GateWords(gate.id, gate.title, gate.ask, gate.because, held, cautions, gate.otherwise, looks)


def _quickest(lines: Iterable[CheckLine]) -> tuple[CheckLine, ...]:
    return tuple(sorted(lines, key=lambda line: (line.minutes, line.ask)))


def _used(about: Reading) -> set[str]:
    """Return the cautions that anything of this kind of machine carries."""
    model = about.known.model
    found = {name for gate in model.gates for name in gate.cautions}
    found |= {name for opening in model.openings for name in opening.cautions}
    found |= {name for stage in model.stages for name in stage.cautions}
    found |= {name for check in model.checks for name in check.cautions}
    return found | {name for fix in model.fixes for name in fix.cautions}


def _stops(about: Reading) -> Iterator[StopIf]:
    """Yield the signs of the first seconds that a dangerous fault shows, with what the danger is."""
    signs = {each.id for each in about.known.model.signs}
    dangerous = [each for each in about.known.model.faults if each.danger]
    for check in about.known.model.checks:
        if not check.on_pad:
            continue
        about_sign = {stop.outcome: stop.of for stop in stops(check)}
        for outcome, _ in outcomes(check):
            if about_sign.get(outcome) not in signs:
                continue
            why = [
                about.known.words.cited(each.danger)
                for each in dangerous
                if about.shown[each.id].get(check.id, {}).get(outcome, 0.0) >= STOPS_FROM
            ]
            if why:
                words = about.known.words.outcome(check.id, outcome)
                yield StopIf(check.id, words, " ".join(dict.fromkeys(why)))
