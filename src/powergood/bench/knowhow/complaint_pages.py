"""Complaints: how people say what is wrong, and which faults that speaks for."""

from __future__ import annotations

from typing import Final

from powergood.bench.knowhow.apart import usual_chance
from powergood.bench.knowhow.reading import Reading, reading
from powergood.bench.knowhow.strength_words import strength_words
from powergood.bench.knowhow.views import ComplaintLine, ComplaintsView, ComplaintView, FaultLine, SignLine
from powergood.bench.ribbon import chances_now
from powergood.bench.wording import without_copy
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.knowledge.model import Complaint
from powergood.record.model import Draft, Fact, Finding
from powergood.record.timeline import timeline

MOST_SUSPECTS: Final = 10
SHOWN_FROM: Final = 0.01
LIKELIER_BY: Final = 1.2
"""Judgement: a fault is named when the complaint makes it likelier by this factor."""
NEVER: Final = "1970-01-01T00:00:00Z"
"""When the findings of a complaint were written: never, so that equal complaints say equal things."""


def complaint_list(ws: Workshop, kind: str) -> ComplaintsView:
    """Return all complaints of a family or sheet.

    Raises
    ------
    UnknownThing : no pack has it.
    """
    about = reading(ws.library, kind)
    lines = tuple(ComplaintLine(each.id, each.words, each.also) for each in about.known.model.complaints)
    return ComplaintsView(kind, about.known.model.title, lines)


def complaint(ws: Workshop, kind: str, name: str) -> ComplaintView:
    """Return a complaint's page; the chances are those once it is seen, and nothing else known.

    Raises
    ------
    UnknownThing : the kind or the complaint is not known.
    """
    about = reading(ws.library, kind)
    known = {each.id: each for each in about.known.model.complaints}
    if name not in known:
        raise UnknownThing(f"{about.known.model.title} has no complaint {name!r}. Look it up under Know-how.")
    given = known[name]
    return ComplaintView(
        kind=kind,
        kind_title=about.known.model.title,
        complaint=name,
        words=given.words,
        also=given.also,
        ask=given.ask,
        answers=tuple(
            ComplaintLine(each.complaint, each.words, known[each.complaint].also) for each in given.answers
        ),
        stands_for=tuple(_stands_for(about, given)),
        suspects=_suspects(ws, about, given),
    )


def _stands_for(about: Reading, given: Complaint) -> list[SignLine]:
    words, lines = about.known.words, []
    for each in given.findings:
        usual = usual_chance(about, each.check, each.outcome) if each.outcome != "good" else 0.0
        lines.append(
            SignLine(
                each.check,
                words.step(each.check),
                words.outcome(each.check, each.outcome),
                usual,
                strength_words(usual),
            )
        )
    return lines


def _suspects(ws: Workshop, about: Reading, given: Complaint) -> tuple[FaultLine, ...]:
    """Return the faults that the complaint's findings, once seen, make likelier, the likeliest first."""
    if not given.findings:
        return ()
    facts = [
        Fact(number, NEVER, Draft(Finding(each.check, each.outcome), key=f"seen/{number}", power_up=1))
        for number, each in enumerate(given.findings, start=1)
    ]
    now = chances_now(ws.library.compiled(about.kind, about.year, {}), timeline(facts))
    best: dict[str, float] = {}
    for name, chance in now.items():
        listed = without_copy(name)
        if listed in about.faults:
            best[listed] = max(chance, best.get(listed, 0.0))
    risen = [name for name, chance in best.items() if chance >= LIKELIER_BY * about.chances[name]]
    ranked = sorted(risen, key=lambda name: (-best[name], name))
    return tuple(about.line(name, best[name]) for name in ranked[:MOST_SUSPECTS] if best[name] >= SHOWN_FROM)
