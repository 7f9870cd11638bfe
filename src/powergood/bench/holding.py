"""Which steps wait for a safety condition: from the knowledge alone, so it is told whatever else fails."""

from __future__ import annotations

from collections.abc import Collection

from powergood.bench.openings import outermost_first
from powergood.bench.wording import Wording, split_step
from powergood.diagnosis import keeps_back
from powergood.knowledge.model import Gate


def gates_holding(step: str, words: Wording, met: Collection[str]) -> tuple[str, ...]:
    """Return the gates not among `met` that keep a check, a fix or an opening back."""
    base, _ = split_step(step)
    check, fix = words.checks.get(base), words.fixes.get(base)
    wanted = check.open if check else fix.open if fix else words.area_fixes.get(base, (base,))
    way = outermost_first(words.openings, [name for name in wanted if name in words.openings])
    powered = check is not None and check.power != "off"
    return tuple(
        gate.id
        for gate in words.gates.values()
        if gate.id not in met and keeps_back(gate.holds, (step, base), way, powered=powered)
    )


def held_in_words(gate: Gate, words: Wording) -> tuple[str, ...]:
    """Return what a gate holds back as it was meant: all power but some, every opening, or step by step."""
    said = []
    if gate.but:
        free = [words.step(name) for name in gate.but if name in words.checks]
        said.append(f"everything that applies power, but for: {'; '.join(free)}")
    elif "power" in gate.holds:
        said.append("everything that applies power")
    if "opening" in gate.holds:
        said.append("every opening")
    steps = [hold.removeprefix("step:") for hold in gate.holds if hold.startswith("step:")]
    own = [name for name in steps if not (gate.but and name in words.checks)]
    return (*said, *(words.step(name) for name in own))


def gates_holding_start(words: Wording, met: Collection[str]) -> tuple[str, ...]:
    """Return the gates not among `met` that a start waits for.

    Those are the ones that hold back power; and where no look at the first seconds is free to be taken, the
    ones that hold the looks back.
    """
    unmet = [gate for gate in words.gates.values() if gate.id not in met]
    looks = [gates_holding(check.id, words, met) for check in words.checks.values() if check.on_pad]
    barred = frozenset().union(*looks) if looks and all(looks) else frozenset()
    return tuple(gate.id for gate in unmet if "power" in gate.holds or gate.id in barred)
