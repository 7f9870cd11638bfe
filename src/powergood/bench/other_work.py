"""Any look or mend written down in a job, whether it is advised or not: a person does what a person does."""

from __future__ import annotations

from dataclasses import replace

from powergood.bench.advising import compiled
from powergood.bench.book import job_of, machine_of
from powergood.bench.holding import gates_holding
from powergood.bench.library import Known
from powergood.bench.matching import Index, entry, good_enough
from powergood.bench.matching.sorts import ASK, FURTHER, SEEN, TOLD
from powergood.bench.step_cards import step_card
from powergood.bench.wording import split_step
from powergood.bench.work_views import OtherWork, Work
from powergood.bench.workshop import Workshop
from powergood.diagnosis import CompiledModel, OutcomeChance, Step
from powergood.errors import UnknownThing


def other_work(ws: Workshop, number: int, find: str = "", step: str = "") -> OtherWork:
    """Return the looks and mends that `find` fits, and the card of `step`, if one is named.

    A look is found by its question and its answers, and by the complaints that stand for one of them.

    Raises
    ------
    UnknownThing : there is no such job or step, or the pack does not know the machine's kind.
    """
    state = job_of(ws, number)
    machine = machine_of(ws, state.tag)
    known = ws.library.known(machine.details.sheet)
    words = known.words
    model = compiled(ws, state, machine)
    work = work_that_fits(model, known, find) if find.strip() else _named(model)
    looks = tuple(each for each in work if each.step in model.checks)
    mends = tuple(each for each in work if each.step in model.fixes)
    if not step:
        return OtherWork(find, looks, mends)
    held = gates_holding(step, words, state.bench.gates)
    card = step_card(_step(model, step, state.bench.opened), words)
    return OtherWork(find, looks, mends, card, tuple(words.gate(name) for name in held))


def _named(model: CompiledModel) -> tuple[Work, ...]:
    """Return every look, then every mend, in the order of the pack."""
    looks = (Work(each.id, each.ask) for each in model.checks.values())
    return (*looks, *(Work(each.id, each.ask) for each in model.fixes.values()))


def work_that_fits(model: CompiledModel, known: Known, find: str) -> tuple[Work, ...]:
    """Return the looks and mends that typed words fit, best first, each with the words that fitted."""
    told = _told(known)
    looks = (
        entry(
            name,
            (ASK, each.ask),
            *((SEEN, words) for _, words in each.outcomes()),
            (FURTHER, known.words.plain(each.tells)),
            *((TOLD, said) for said in told.get(split_step(name)[0], {})),
        )
        for name, each in model.checks.items()
    )
    mends = (entry(name, (ASK, each.ask), (FURTHER, each.note)) for name, each in model.fixes.items())
    named = {each.step: each for each in _named(model)}
    found = ((named[hit.key], hit.phrase) for hit in good_enough(Index((*looks, *mends)).hits(find)))
    return tuple(
        work
        if phrase == work.ask
        else replace(work, because=told.get(split_step(work.step)[0], {}).get(phrase, phrase))
        for work, phrase in found
    )


def _told(known: Known) -> dict[str, dict[str, str]]:
    """Return for each look what its complaints are said by, each with the complaint's own words."""
    found: dict[str, dict[str, str]] = {}
    for complaint in known.model.complaints:
        for told in complaint.findings:
            ways = found.setdefault(told.check, {})
            ways.update(dict.fromkeys((complaint.words, *complaint.also), complaint.words))
    return found


def _step(model: CompiledModel, name: str, opened: frozenset[str]) -> Step:
    """Return a step as the advice would give it, without what the advice would say of it."""
    check, fix = model.checks.get(name), model.fixes.get(name)
    spec = check or fix
    if spec is None:
        raise UnknownThing(f"There is no step {name!r} for this machine. Choose one from the list.")
    opens = sorted(model.whole_opening(spec.open) - opened, key=lambda each: len(model.openings[each].behind))
    refits = sorted(check.closed & opened) if check else []
    way = sum(model.openings[each].minutes for each in opens)
    way += sum(model.openings[each].refit for each in refits)
    said = tuple(OutcomeChance(outcome, 0.0, words) for outcome, words in check.outcomes()) if check else ()
    return Step(
        step=name,
        kind="check" if check else "fix",
        ask=spec.ask,
        outcomes=said,
        minutes=spec.price.minutes + way,
        elapsed=spec.price.elapsed,
        money=spec.price.money,
        opens=tuple(opens),
        expected_total=0.0,
        why="",
        copy=check.copy if check else 0,
        refits=tuple(refits),
        cautions=spec.cautions,
        tools=spec.tools,
        wrong_when=spec.wrong_when,
        harm=spec.price.harm,
        consent=fix.consent if fix else False,
        note=check.tells if check else fix.note if fix else "",
    )
