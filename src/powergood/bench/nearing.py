"""How near a job's plan is to the best, worked out further while the page is open."""

from __future__ import annotations

from dataclasses import dataclass, replace

from powergood.bench.advising import advised, compiled, rests_on, subject
from powergood.bench.book import job_of, machine_of
from powergood.bench.plan_words import figures, nearness
from powergood.bench.preferring import preferences
from powergood.bench.refusals import left_out
from powergood.bench.workshop import Workshop
from powergood.diagnosis import levels, tightened


@dataclass(frozen=True, slots=True)
class Nearness:
    """How near a plan is to the best as far as it is known now.

    words, figures : in words and in figures. level : the work done for it. last : the most that can be done.
    """

    words: str
    figures: str
    level: int
    last: int


def nearer(ws: Workshop, number: int, level: int) -> Nearness:
    """Return how near the plan of a job is to the best, after the work of `level`; empty without advice.

    Raises
    ------
    UnknownThing : there is no such job.
    """
    state = job_of(ws, number)
    about = subject(ws, state, machine_of(ws, state.tag))
    advice = advised(ws, about).advice
    level = min(max(level, 0), levels())
    if advice is None or about.known is None:
        return Nearness("", "", level, level)
    wants = preferences(ws, left_out(state.line, about.known.words, state.cannot))
    model = compiled(ws, state, about.machine)

    def alone(each: int) -> float:
        """Return what the work of one level says, kept for as long as nothing it rests on changes."""
        key = (*rests_on(about), wants, each)
        return ws.bounds.get(
            key, lambda: tightened(model, state.line, wants, level=each, above=max(each - 1, 0))
        )

    least = max(advice.at_least, *(alone(each) for each in range(level + 1)))
    better = replace(advice, at_least=min(least, advice.expected_total))
    return Nearness(nearness(better), figures(better, about.known.words), level, levels())
