"""Any look or mend written down in a job, whether it is advised or not: a person does what a person does."""

from __future__ import annotations

from collections.abc import Iterable

from powergood.bench.advising import compiled
from powergood.bench.book import job_of, machine_of
from powergood.bench.holding import gates_holding
from powergood.bench.step_cards import step_card
from powergood.bench.work_views import OtherWork, Work
from powergood.bench.workshop import Workshop
from powergood.diagnosis import CompiledModel, OutcomeChance, Step
from powergood.errors import UnknownThing


def other_work(ws: Workshop, number: int, find: str = "", step: str = "") -> OtherWork:
    """Return the looks and mends whose sentence has all words of `find`, and the card of `step`, if one is.

    Raises
    ------
    UnknownThing : there is no such job or step, or the pack does not know the machine's kind.
    """
    state = job_of(ws, number)
    machine = machine_of(ws, state.tag)
    words = ws.library.known(machine.details.sheet).words
    model = compiled(ws, state, machine)
    looks = _found(((each.id, each.ask) for each in model.checks.values()), find)
    mends = _found(((each.id, each.ask) for each in model.fixes.values()), find)
    if not step:
        return OtherWork(find, looks, mends)
    held = gates_holding(step, words, state.bench.gates)
    card = step_card(_step(model, step, state.bench.opened), words)
    return OtherWork(find, looks, mends, card, tuple(words.gate(name) for name in held))


def _found(named: Iterable[tuple[str, str]], find: str) -> tuple[Work, ...]:
    wanted = find.casefold().split()
    return tuple(
        Work(step, ask) for step, ask in named if all(word in f"{ask} {step}".casefold() for word in wanted)
    )


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
