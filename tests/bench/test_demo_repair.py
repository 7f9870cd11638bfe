"""The demo repair from its complaint to signed off, by following the card and knowing nothing.

Two faults, one behind the other: the inverter has failed, and a leaked standby pack shows itself only
later. What each check shows is read off the pack: a fault acts on what it stops with at least even chance.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from powergood.bench import Workshop, answer, board, demo, job, save_start, sign_off
from powergood.bench.job_views import JobView
from powergood.bench.step_views import StepAnswer, StepCard
from powergood.bench.wording import split_step
from powergood.knowledge.model import MachineModel
from powergood.record.model import Finding

HIDDEN = {"inverter.failed", "standby-cell.leaked"}
MOST_ANSWERS = 35
"""Judgement: as many taps as a newcomer makes in ten minutes."""


@dataclass
class Truth:
    """The machine as it really is: which faults are there, and what that shows."""

    model: MachineModel
    present: set[str] = field(default_factory=lambda: set(HIDDEN))

    def outcome(self, check_id: str) -> str:
        """Return what a check would show now."""
        check = next(each for each in self.model.checks if each.id == check_id)
        masked = {*check.out, *check.instead}
        if not check.rungs:
            return "bad" if self._stopped(check.of, masked) else "good"
        return next((rung.of for rung in check.rungs if self._stopped(rung.of, masked)), "good")

    def mend(self, fix_id: str) -> None:
        """Take away what a fix cures."""
        fix = next((each for each in self.model.fixes if each.id == fix_id), None)
        if fix:
            self.present -= {
                name for name in self.present if name in fix.cures or self._part(name) == fix.replaces
            }

    def _stopped(self, base: str, masked: set[str]) -> bool:
        needed = self._needed(base)
        acting = [
            each
            for each in self.model.faults
            if each.id in self.present and self._part(each.id) not in masked
        ]
        return any(
            name in needed and claim.value >= 0.5
            for fault in acting
            for name, claim in {**fault.breaks, **fault.signs}.items()
        )

    def _needed(self, base: str) -> set[str]:
        needs = {each.id: (*each.needs, *each.either[:1]) for each in self.model.functions}
        found, waiting = set(), [base]
        while waiting:
            name = waiting.pop()
            if name not in found:
                found.add(name)
                waiting += needs.get(name, ())
        return found

    @staticmethod
    def _part(fault: str) -> str:
        return fault.split(".")[0]


def follow(ws: Workshop, view: JobView, truth: Truth, number: int) -> JobView:
    """Do what the card says and write down what is seen; the first powered step is done on the pad."""
    card = view.next
    assert card is not None
    if card.kind == "check" and view.pad.allowed and view.bench.starts == 0:
        seen = [Finding(key.check, truth.outcome(key.check)) for key in view.pad.keys]
        return save_start(ws, view.number, seen, key=f"answer-{number}")
    given = StepAnswer(card.step, _outcome(card, truth), kind=card.kind)
    return answer(ws, view.number, given, key=f"answer-{number}")


def _outcome(card: StepCard, truth: Truth) -> str:
    base, _ = split_step(card.step)
    if card.kind == "check":
        return truth.outcome(base)
    if card.kind == "fix":
        truth.mend(base)
    return card.keys[0].outcome


def test_following_the_card_finds_both_faults_proves_the_machine_and_signs_the_job_off(
    tmp_path: Path,
) -> None:
    ws = demo.create(tmp_path / "museum", clock=lambda: datetime(2026, 5, 6, 20, 0, tzinfo=UTC))
    view = job(ws, board(ws).open[0].number)
    truth = Truth(ws.library.known(view.machine.sheet).model)
    asked = []
    while view.next is not None and len(asked) < MOST_ANSWERS:
        asked.append(view.next.step)
        view = follow(ws, view, truth, len(asked))
    assert truth.present == set(), asked
    assert {state.standing for state in view.functions} == {"proven"}, asked
    assert view.bench.open == ()
    assert sign_off(ws, view.number, key="done").standing == "signed off"
    ws.close()
