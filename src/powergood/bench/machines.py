"""List the machines, and show one."""

from __future__ import annotations

from powergood.bench.advising import subject
from powergood.bench.book import jobs_of, machine_of
from powergood.bench.card_views import MachineCard
from powergood.bench.cards import NO_WORDS, job_card, machine_card
from powergood.bench.editions import edition_lines, edition_of
from powergood.bench.intake_views import IntakeLine
from powergood.bench.kinds import by_year, functions_of
from powergood.bench.library import Known
from powergood.bench.machine_state import MachineState
from powergood.bench.machine_views import CellLine, MachineView
from powergood.bench.record_lines import record_lines
from powergood.bench.workshop import Workshop
from powergood.errors import UnknownThing
from powergood.knowledge.model import IntakeFact


def machines(ws: Workshop) -> tuple[MachineCard, ...]:
    """Return every machine in brief, latest first."""
    found = [machine_of(ws, tag) for tag in ws.store.machines()]
    return tuple(machine_card(ws, state, jobs_of(state)) for state in reversed(found))


def machine(ws: Workshop, tag: str) -> MachineView:
    """Return a machine's page.

    Raises
    ------
    UnknownThing : no machine bears that tag.
    """
    state = machine_of(ws, tag)
    jobs = jobs_of(state)
    card = machine_card(ws, state, jobs)
    try:
        known, trouble = ws.library.known(state.details.sheet), ""
    except UnknownThing as error:
        known, trouble = None, str(error)
    sheet = ws.library.sheet(state.details.sheet)
    words = known.words if known else NO_WORDS
    edition, said = edition_of(known, state) if known else (None, False)
    return MachineView(
        card=card,
        story=state.details.story,
        came_with=state.details.came_with,
        intake=_intake_lines(known, state) if known else (),
        cells=_cells(known) if known else (),
        functions=functions_of(known) if known else (),
        photos=state.photos,
        jobs=tuple(job_card(ws, subject(ws, job, state), card) for job in reversed(jobs)),
        record=record_lines(state.facts, state.line, words),
        weak_points=sheet.weak_points if sheet else (),
        boot_routes=sheet.boot_routes if sheet else (),
        kind_trouble=trouble,
        editions=edition_lines(known.family) if known else (),
        edition=edition,
        edition_said=said,
    )


def _cells(known: Known) -> tuple[CellLine, ...]:
    return tuple(
        CellLine(each.id, each.title, each.kind, each.place, each.polarity) for each in known.model.cells
    )


def _intake_lines(known: Known, state: MachineState) -> tuple[IntakeLine, ...]:
    return tuple(_intake_line(each, state) for each in known.model.intake)


def _intake_line(fact: IntakeFact, state: MachineState) -> IntakeLine:
    year = state.details.year
    if fact.id in state.intake:
        return IntakeLine(fact.id, fact.ask, "yes" if state.intake[fact.id] else "no", by_year(fact))
    if by_year(fact) and year:
        inside = fact.from_year <= year <= (fact.to_year or year)
        return IntakeLine(fact.id, fact.ask, "yes" if inside else "no", True)
    return IntakeLine(fact.id, fact.ask, "not asked", by_year(fact))
