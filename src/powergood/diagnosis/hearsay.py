"""How far an answer is to be trusted that is not sure or only told, and how far a complaint.

Of all that can be wrong with a machine a person names what struck them. Whoever says that a cell has leaked
has seen crust, though few cells leak; an answer to a question, which may be yes or no, says less. So the
trust in a complaint is set by how seldom it is so of machines of the kind as they come: just so high that,
nothing else being known, it is so as often as what people tell is (nine times in ten), however seldom that
is; but no higher than in the look itself.
"""

from __future__ import annotations

from powergood.diagnosis.answers import Shown
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FaultSpec
from powergood.record.model import Finding

UNSURE = 0.6
"""Judgement: the weight of an answer given as *not sure*; with the rest of the chance it is a coin toss."""

TOLD = 0.8
"""Judgement: the same for an answer that is only told, by the giver or a label.

So a yes or no is wrong in one telling of ten, and how far the machine gets in one of six. A complaint is
wrong as often, but it names something rare of its own accord."""

RAREST = 1e-4
"""What is so more seldom than this counts as so in one machine of ten thousand."""


def trust_in_answer(finding: Finding) -> float:
    """Return the trust in an answer: 1 when it is sure and was seen."""
    return (1.0 if finding.sure else UNSURE) * (TOLD if finding.told else 1.0)


def trust_in_complaint(model: CompiledModel, check: CheckSpec, said: Shown) -> float:
    """Return the trust in a complaint that `check` would show `said`, no less than in a told answer.

    Something in `said` must have failed: of what works nobody complains.

    With the trust TOLD an answer is what the check shows, else a toss among its answers: the share of wrong
    tellings is that of the toss. The trust returned gives the complaint that share at first, false alarms
    in it: beside it the check's own must not be counted. No complaint says more than the look itself.
    """
    passed = frozenset[int]().union(*(_rests(model, check, each) for each in said.passed))
    failed = frozenset[int]().union(*(_rests(model, check, each) for group in said.failed for each in group))
    so = _works(model, check, passed) - _works(model, check, passed | failed)
    so = min(max(so, RAREST), 1.0 - RAREST)
    wrong = (1.0 - TOLD) * (1.0 - 1.0 / said.answers)
    times = (1.0 - wrong) / wrong * (1.0 - so) / so
    if check.leak > 0:
        times = min(times, 1.0 / (1.0 - (1.0 - check.leak) ** max(len(group) for group in said.failed)))
    return max(TOLD, (times - 1.0) / (times - 1.0 + said.answers))


def _rests(model: CompiledModel, check: CheckSpec, rung: int) -> frozenset[int]:
    return model.closure(check.rungs[rung].base, check.absent)


def _works(model: CompiledModel, check: CheckSpec, bases: frozenset[int]) -> float:
    """Return the chance that no fault stops anything in `bases` in a machine as it comes."""
    chance = 1.0
    for cluster in model.clusters:
        silent = [_silent(model, check, model.faults[at], bases) for at in cluster.members]
        if min(silent) < 1.0:
            chance *= sum(share * _all_silent(silent, present) for present, share in enumerate(cluster.joint))
    return chance


def _all_silent(silent: list[float], present: int) -> float:
    """Return the chance that all faults with their bit in `present` leave the bases alone."""
    chance = 1.0
    for place, each in enumerate(silent):
        if present >> place & 1:
            chance *= each
    return chance


def _silent(model: CompiledModel, check: CheckSpec, fault: FaultSpec, bases: frozenset[int]) -> float:
    """Return the chance that a fault that is there leaves `bases` alone."""
    if fault.slot and fault.slot in check.masked:
        return 1.0
    chance, moody = 1.0, False
    for link in fault.links:
        if link.base not in bases:
            continue
        if fault.shows and not model.bases[link.base].is_sign:
            moody = True
        else:
            chance *= 1.0 - link.strength
    return chance * (1.0 - fault.shows) ** check.starts if moody else chance
