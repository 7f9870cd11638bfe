"""Replay the worked cases of the shipped pack: what was believed of the true cause after each fact."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import log2, prod

from families import unlooked
from followed_cases import Way, follow

from powergood.diagnosis import CompiledModel, believe, compile_model
from powergood.ids import slot_name
from powergood.knowledge.model import MachineModel
from powergood.packs import Pack, builtin_pack
from powergood.packs.findings import worked_facts
from powergood.packs.worked import WorkedCase
from powergood.record.model import Body, Complained, Draft, Fact, Finding, FixDone, GateAnswered, Opened
from powergood.record.timeline import timeline

AMONG_FIRST = 3
"""A cause counts as named when it is among this many first faults (design target, judgement)."""

LIKELIER = 1.02
"""A fault counts as made likelier from this factor up; less is rounding and what others leave (judgement)."""


@dataclass(frozen=True)
class Moment:
    """What was believed after one fact: the rank and chance of each true fault.

    `ranks_raised` are the ranks among the faults that the facts so far made likelier than they were.
    """

    fact: str
    ranks: tuple[int, ...]
    chances: tuple[float, ...]
    ranks_raised: tuple[int, ...]


@dataclass(frozen=True)
class Replay:
    """A worked case, its class, and its moments, the first before any fact."""

    case: WorkedCase
    family: str
    moments: tuple[Moment, ...]

    @property
    def rank(self) -> int:
        """The place of the first of the true faults in the end."""
        return min(self.moments[-1].ranks)

    @property
    def named(self) -> bool:
        """Whether one of the true faults was among the first in the end."""
        return self.rank <= AMONG_FIRST

    @property
    def named_raised(self) -> bool:
        """Whether one was among the first of those that the facts made likelier."""
        return min(self.moments[-1].ranks_raised) <= AMONG_FIRST

    @property
    def named_after(self) -> int:
        """The number of facts after which a true fault was first among the first; -1 if never."""
        found = (place for place, at in enumerate(self.moments) if min(at.ranks) <= AMONG_FIRST)
        return next(found, -1)

    @property
    def bits(self) -> float:
        """The log score against the base rate: bits by which the facts raised the likeliest true fault."""
        first = self.moments[-1].ranks.index(self.rank)
        return log2(self.moments[-1].chances[first] / self.moments[0].chances[first])


@cache
def pack() -> Pack:
    """Return the shipped pack, read once."""
    return builtin_pack()


def told() -> list[WorkedCase]:
    """Return the cases that the pack has words for, by id."""
    return [case for _, case in sorted(pack().worked.items()) if case.truth]


def family_of(case: WorkedCase) -> str:
    """Return the id of the class a case belongs to."""
    sheet = pack().sheets.get(case.machine)
    return sheet.family if sheet else case.machine


@cache
def replays() -> tuple[Replay, ...]:
    """Return the belief through every case, worked out once."""
    return tuple(replayed(case) for case in told())


def replayed(case: WorkedCase, without: int = -1, doubted: int = -1) -> Replay:
    """Return the case as it would have gone, fact `without` left out or fact `doubted` only told."""
    machine = pack().machine(case.machine)
    model, met, drafts = _set_out(case, machine)
    if doubted >= 0 and isinstance(body := drafts[doubted].body, Finding):
        drafts[doubted] = Draft(
            Finding(body.check, body.outcome, body.sure, told=True, copy=body.copy),
            power_up=drafts[doubted].power_up,
            key=drafts[doubted].key,
        )
    facts = [draft for place, draft in enumerate(drafts) if place != without]
    moments = [_moment("(nothing yet)", case, machine, model, met)]
    for end, draft in enumerate(facts, start=1):
        moments.append(_moment(_words(draft.body), case, machine, model, [*met, *facts[:end]]))
    return Replay(case, family_of(case), tuple(moments))


def followed(case: WorkedCase) -> Way:
    """Return the way the advice takes through a case (slow)."""
    machine = pack().machine(case.machine)
    model, met, drafts = _set_out(case, machine)
    place = {fault.id: number for number, fault in enumerate(model.faults)}
    truth = frozenset(place[next(_copies(name, machine))] for name in case.truth)
    return follow(model, met, drafts, truth)


def _set_out(case: WorkedCase, machine: MachineModel) -> tuple[CompiledModel, list[Draft], list[Draft]]:
    findings = worked_facts(case, machine)
    met = [Draft(GateAnswered(gate.id, met=True), key=gate.id) for gate in machine.gates]
    return compile_model(unlooked(machine), intake=findings.intake), met, list(findings.drafts)


def _moment(
    fact: str, case: WorkedCase, machine: MachineModel, model: CompiledModel, drafts: Sequence[Draft]
) -> Moment:
    facts = (Fact(number, "2026-01-01T00:00:00Z", draft) for number, draft in enumerate(drafts, start=1))
    chances = believe(model, timeline(facts)).now()
    at_all = _by_kind(model, chances)
    before = _by_kind(model, {number: fault.prior for number, fault in enumerate(model.faults)})
    ordered = sorted(at_all, key=lambda kind: (-round(at_all[kind], 9), kind))
    raised = sorted(ordered, key=lambda kind: at_all[kind] <= before[kind] * LIKELIER)
    kinds = [kind_of(next(_copies(name, machine))) for name in case.truth]
    return Moment(
        fact,
        tuple(ordered.index(kind) + 1 for kind in kinds),
        tuple(at_all[kind] for kind in kinds),
        tuple(raised.index(kind) + 1 for kind in kinds),
    )


def _by_kind(model: CompiledModel, chances: Mapping[int, float]) -> dict[str, float]:
    """Return the chance of each kind of fault that at least one of its copies is there."""
    found: dict[str, list[float]] = {}
    for number, fault in enumerate(model.faults):
        if fault.listed:
            found.setdefault(kind_of(fault.id), []).append(chances[number])
    return {kind: 1 - prod(1 - chance for chance in each) for kind, each in found.items()}


def kind_of(fault: str) -> str:
    """Return a fault's name without the number of its copy."""
    return ".".join(word for word in fault.split(".") if not word.isdigit())


def _copies(name: str, machine: MachineModel) -> Iterator[str]:
    part, mode = name.split(".", 1)
    copies = next(each.copies for each in machine.parts if each.id == part)
    for copy in range(1, copies + 1):
        yield f"{slot_name(part, copy, copies)}.{mode}"


def _words(body: Body) -> str:
    match body:
        case Finding(check=check, outcome=outcome, told=is_told, sure=sure):
            doubt = " (told)" if is_told else "" if sure else " (not sure)"
            return f"`{check}`: {outcome}{doubt}"
        case Complained(words=words):
            return f"“{words}” (told)"
        case FixDone(fix=fix):
            return f"done: `{fix}`"
        case Opened(opening=opening):
            return f"opened: `{opening}`"
        case _:
            return type(body).__name__
