"""The safety conditions of a job as cards to tick: from the knowledge alone, so they show whatever fails."""

from __future__ import annotations

from powergood.bench.holding import gates_holding_start, held_in_words
from powergood.bench.sentences import look_words, ticked_words
from powergood.bench.step_views import GateBox, GateCard
from powergood.bench.wording import Wording
from powergood.diagnosis import Advice
from powergood.knowledge.model import Gate
from powergood.record.model import Finding, GateAnswered
from powergood.record.timeline import Timeline


def gate_cards(words: Wording, line: Timeline, advice: Advice | None = None) -> tuple[GateCard, ...]:
    """Return every gate of the machine's kind, those due now first, each with how it was met.

    A gate is due when the advice asks for it or a start waits for it, unless it was answered with a no or
    nothing is left to do; without advice every unmet gate is due.
    """
    asked = {step.step for step in advice.steps if step.kind == "gate"} if advice else set(words.gates)
    answers: dict[str, GateAnswered] = {}
    for fact in line.facts:
        if isinstance(fact.body, GateAnswered):
            answers[fact.body.gate] = fact.body
    if advice and not advice.done:
        met = [name for name, answer in answers.items() if answer.met]
        asked |= set(gates_holding_start(words, met))
    cards = [_card(gate, answers.get(gate.id), words, gate.id in asked) for gate in words.gates.values()]
    return tuple(sorted(cards, key=lambda card: (not card.due, card.met)))


def _card(gate: Gate, answer: GateAnswered | None, words: Wording, asked: bool) -> GateCard:
    met = answer is not None and answer.met
    refused = bool(gate.otherwise) and answer is not None and not answer.met
    return GateCard(
        gate=gate.id,
        title=gate.title,
        ask=gate.ask,
        because=gate.because,
        met=met,
        due=asked and not met and not refused,
        how=answer.how if answer else "",
        holds_back=held_in_words(gate, words),
        cautions=words.cautions_of(gate.cautions),
        otherwise=gate.otherwise,
        refused=refused,
        stands_for=ticked_words(gate.id, words),
        boxes=tuple(
            GateBox(each.check, each.box, look_words(Finding(each.check, each.outcome), words))
            for each in gate.stands_for
            if each.box
        ),
    )
