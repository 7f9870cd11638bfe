"""How far a complaint is to be trusted: so far that nine tellings of ten are so, however seldom that is.

Of all that can be wrong with a machine a person names what struck them. Whoever says that a cell has leaked
has seen crust, though few cells leak; an answer to a question, which may be yes or no, says less. So the
trust in a complaint is set by how seldom it is so of machines of the kind as they come: just so high that,
nothing else being known, it is so as often as what people tell is; but no higher than in the look itself.
"""

from __future__ import annotations

from powergood.diagnosis.answers import Shown
from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FaultSpec

RAREST = 1e-4
"""What is so more seldom than this counts as so in one machine of ten thousand."""


def trust_in_complaint(model: CompiledModel, check: CheckSpec, said: Shown, told: float) -> float:
    """Return the trust in a complaint that `check` would show `said`, at least that in an answer, `told`.

    Something in `said` must have failed: of what works nobody complains.

    With the trust `told` an answer is what the check shows, else a toss among its answers: the share of wrong
    tellings is that of the toss. The trust returned gives the complaint that share at first, false alarms
    in it: beside it the check's own must not be counted. No complaint says more than the look itself.
    """
    passed = frozenset[int]().union(*(_rests(model, check, each) for each in said.passed))
    failed = frozenset[int]().union(*(_rests(model, check, each) for group in said.failed for each in group))
    so = _works(model, check, passed) - _works(model, check, passed | failed)
    so = min(max(so, RAREST), 1.0 - RAREST)
    wrong = (1.0 - told) * (1.0 - 1.0 / said.answers)
    times = (1.0 - wrong) / wrong * (1.0 - so) / so
    if check.leak > 0:
        times = min(times, 1.0 / (1.0 - (1.0 - check.leak) ** max(len(group) for group in said.failed)))
    return max(told, (times - 1.0) / (times - 1.0 + said.answers))


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
