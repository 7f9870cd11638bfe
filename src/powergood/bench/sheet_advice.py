"""Advice on a kind of machine from a findings file: no workshop, nothing written down."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from powergood.bench.job_views import SheetAdvice
from powergood.bench.library import Library
from powergood.bench.plan_words import besides, conflict_words, figures, nearness, something_else, suspects
from powergood.bench.refusals import left_out
from powergood.bench.step_cards import step_cards
from powergood.diagnosis import Preferences, advise, compile_model, tightened
from powergood.packs import Pack, builtin_pack
from powergood.packs.findings import read_findings
from powergood.record.model import Fact
from powergood.record.timeline import timeline

NOT_WRITTEN = "1970-01-01T00:00:00Z"
"""When the facts of a findings file were written: never, so that equal files give equal advice."""


BOUND_LEVEL = 1
"""How far the cost that no plan can average below is worked out: some tenths of a second."""


def advise_sheet(
    sheet: str,
    findings: Path | None = None,
    *,
    pack: Pack | None = None,
    preferences: Preferences | None = None,
) -> SheetAdvice:
    """Return the advice on a sheet or family after the findings in a file.

    Raises
    ------
    UnknownThing : the pack has no such sheet.
    FindingsError : the file has mistakes; all of them are named.
    """
    library = Library((pack or builtin_pack(),))
    known = library.known(sheet)
    given = read_findings(findings, known.model) if findings else None
    drafts = given.drafts if given else ()
    line = timeline(Fact(number, NOT_WRITTEN, draft) for number, draft in enumerate(drafts, start=1))
    listed = library.sheet(sheet)
    model = compile_model(
        known.model, year=listed.year if listed else 0, intake=given.intake if given else {}
    )
    wants = preferences or Preferences()
    wants = replace(wants, cannot=left_out(line, known.words, wants.cannot))
    quick = advise(model, line, wants)
    least = max(quick.at_least, tightened(model, line, wants, level=BOUND_LEVEL))
    advice = replace(quick, at_least=min(least, quick.expected_total))
    cards = step_cards(advice, known.words)
    return SheetAdvice(
        sheet=sheet,
        title=known.model.title,
        next=cards[0] if cards else None,
        steps=cards[1:],
        suspects=suspects(advice, known.words),
        beside=besides(advice, known.words),
        something_else=something_else(advice, known.words),
        cleared=tuple(known.words.part(name) for name in advice.cleared),
        conflict=conflict_words(advice),
        nearness=nearness(advice),
        figures=figures(advice, known.words),
        advice=advice,
    )
