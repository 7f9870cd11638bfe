"""Safety conditions that were answered with a no: what they hold is left out of all plans.

Only a condition that says what to do instead can be answered so, such as leave to work on the mains side.
Nobody has to have it: until it is answered the steps behind it wait, and after a no they are not weighed.
"""

from __future__ import annotations

from powergood.bench.holding import gates_holding
from powergood.bench.wording import Wording
from powergood.record.model import GateAnswered
from powergood.record.timeline import Timeline


def refused(line: Timeline, words: Wording) -> frozenset[str]:
    """Return the gates whose last answer is a no, of those that say what to do instead."""
    last = {fact.body.gate: fact.body.met for fact in line.facts if isinstance(fact.body, GateAnswered)}
    return frozenset(
        gate.id for gate in words.gates.values() if gate.otherwise and last.get(gate.id) is False
    )


def left_out(line: Timeline, words: Wording, cannot: frozenset[str] = frozenset()) -> frozenset[str]:
    """Return the steps that cannot be done here: those said one by one, and those behind a refused gate."""
    said_no = refused(line, words)
    if not said_no:
        return cannot
    others = frozenset(words.gates) - said_no
    steps = (*words.checks, *words.fixes, *words.area_fixes)
    return cannot | {step for step in steps if gates_holding(step, words, others)}
