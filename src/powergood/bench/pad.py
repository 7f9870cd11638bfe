"""The power-on pad: what can be noticed in the first seconds of a start, and what the last start told."""

from __future__ import annotations

from powergood.bench.grids import drawn
from powergood.bench.holding import gates_holding, gates_holding_start
from powergood.bench.pad_views import LastStart, Pad, PadKey
from powergood.bench.sentences import finding_sentence
from powergood.bench.step_cards import plain_keys_of
from powergood.bench.step_views import GateCard, Leaning
from powergood.bench.wording import Wording
from powergood.diagnosis import Advice, in_the_way
from powergood.record.model import Finding
from powergood.record.timeline import Bench, Timeline

MOST_SUSPECTS = 3


def pad(
    words: Wording,
    line: Timeline,
    bench: Bench,
    gates: tuple[GateCard, ...],
    advice: Advice | None,
    newly_cleared: tuple[str, ...] = (),
) -> Pad:
    """Return the pad of a job. `newly_cleared` are titles of what the last start cleared."""
    waiting = gates_holding_start(words, bench.gates)
    held_by = tuple(card for card in gates if card.gate in waiting)
    allowed = bool(words.checks) and not waiting
    said = _power_words(words, held_by)
    last = _findings_of(line, bench.power_up)
    keys = tuple(
        PadKey(
            check=check.id,
            ask=check.ask,
            keys=plain_keys_of(check, words),
            ladder=bool(check.rungs or check.grid),
            last=last[check.id].outcome if check.id in last else "",
            held=bool(gates_holding(check.id, words, bench.gates)),
            grid=drawn(check, words),
        )
        for check in words.checks.values()
        if check.on_pad
    )
    cautions = [name for check in words.checks.values() if check.on_pad for name in check.cautions]
    return Pad(
        allowed=allowed,
        held_by=held_by,
        words=said,
        power_up=bench.power_up + 1,
        keys=keys,
        last=_last_start(words, bench.power_up, last, said, advice, newly_cleared),
        cautions=words.cautions_of(cautions),
    )


def _findings_of(line: Timeline, power_up: int) -> dict[str, Finding]:
    return {
        fact.body.check: fact.body
        for fact in line.facts
        if power_up and fact.draft.power_up == power_up and isinstance(fact.body, Finding)
    }


def _power_words(words: Wording, held_by: tuple[GateCard, ...]) -> str:
    if not words.checks:
        return "Do not power it yet: what is known of its kind is not here, nor are its safety conditions."
    if not held_by:
        return "Every safety condition for power is met."
    first = held_by[0].title
    rest = f" and {len(held_by) - 1} more" if len(held_by) > 1 else ""
    return f"Do not power it yet. Not met: {first}{rest}."


def _last_start(
    words: Wording,
    power_up: int,
    found: dict[str, Finding],
    said: str,
    advice: Advice | None,
    newly_cleared: tuple[str, ...],
) -> LastStart | None:
    if not power_up or not found:
        return None
    seen = tuple(finding_sentence(body, words) for body in found.values())
    return LastStart(power_up, seen, newly_cleared, leading_parts(advice, words), said)


def leading_parts(advice: Advice | None, words: Wording) -> tuple[Leaning, ...]:
    """Return the parts most under suspicion, each by its likeliest fault, at most three."""
    strongest: dict[str, float] = {}
    for fault in in_the_way(advice) if advice else ():
        strongest[fault.part] = max(strongest.get(fault.part, 0.0), fault.chance)
    ranked = sorted(strongest, key=lambda part: (-strongest[part], part))[:MOST_SUSPECTS]
    return tuple(Leaning(part, words.part(part), strongest[part]) for part in ranked)
