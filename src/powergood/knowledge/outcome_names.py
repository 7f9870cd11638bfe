"""Does every outcome that is named, by a complaint, a gate's tick or a stage, belong to its check?"""

from __future__ import annotations

from collections.abc import Iterator

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.naming import Names
from powergood.knowledge.problems import Problem, Where, did_you_mean, error
from powergood.knowledge.stops import outcome_named, outcomes


def unknown_outcomes(assembly: Assembly, names: Names) -> Iterator[Problem]:
    """Yield a problem for each check, or outcome of one, that is named as a finding and is not there."""
    for complaint in assembly.complaints.values():
        for place, told in enumerate(complaint.item.findings):
            where = complaint.where.at("findings", place)
            yield from _finding(told.check, told.outcome, assembly, names, where)
    for gate in assembly.gates.values():
        for place, said in enumerate(gate.item.stands_for):
            where = gate.where.at("stands_for", place)
            yield from _finding(said.check, said.outcome, assembly, names, where)
    for stage in assembly.stages.values():
        for limit in stage.item.limits:
            where = stage.where.at("limits", limit.id)
            for field in ("below", "above", "nothing"):
                if outcome := getattr(limit, field):
                    yield from _outcome_of(stage.item.check, outcome, assembly, where.at(field))
        for stop in stage.item.stop_if:
            where = stage.where.at("stop_if", stop.id)
            if stop.check or stop.outcome:
                yield from names.wrong(stop.check, ("checks",), where.at("check"))
                yield from _outcome_of(stop.check, stop.outcome, assembly, where.at("outcome"))


def _finding(name: str, outcome: str, assembly: Assembly, names: Names, where: Where) -> Iterator[Problem]:
    """Yield what is wrong with a check and its outcome that are named together."""
    yield from names.wrong(name, ("checks",), where.at("check"))
    check = assembly.checks.get(name)
    if check is None:
        return
    known = outcomes(check.item)
    if outcome_named(check.item, outcome) not in known:
        listed = ", ".join(f"`{each}`" for each in known)
        message = f"`{outcome}` is no outcome of `{name}`, which has {listed}"
        yield error("known-outcome", message + did_you_mean(outcome, known), where.at("outcome"))


def _outcome_of(name: str, outcome: str, assembly: Assembly, where: Where) -> Iterator[Problem]:
    check = assembly.checks.get(name)
    if check is not None and outcome not in outcomes(check.item):
        listed = ", ".join(f"`{each}`" for each in outcomes(check.item))
        yield error("known-outcome", f"`{outcome}` is no outcome of `{name}`, which has {listed}", where)
