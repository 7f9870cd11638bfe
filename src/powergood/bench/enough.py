"""Stop rules in words: which of the person's limits the next step would pass, and what was spent so far."""

from __future__ import annotations

from powergood.bench.advising import Subject, compiled
from powergood.bench.cards import words_for
from powergood.bench.preferring import limits, preferences
from powergood.bench.refusals import left_out
from powergood.bench.workshop import Workshop
from powergood.diagnosis import Advice, Spent, StopSign, spent, stop_signs

_WORDS = {
    "worth": "The rest is expected to cost about {value:.0f} minutes of your time, money counted in; "
    "the working machine is worth {limit:.0f} minutes to you. Stopping here is sensible.",
    "money": "With the next step this job comes to {value:.0f} in money; your limit is {limit:.0f}.",
    "minutes": "With the next step this job comes to {value:.0f} minutes of your work; your limit is "
    "{limit:.0f}.",
    "parts": "{value:.0f} parts were changed in a row and nothing changed. Before one more is bought, look "
    "again at what was found, or at the test set.",
    "depth": "The next step lies behind {value:.0f} openings; you go as deep as {limit:.0f}.",
    "danger": "The next step is marked Danger, and you said that you are not trained for that. Leave it to "
    "someone who is.",
}


def enough(ws: Workshop, about: Subject, advice: Advice | None) -> tuple[str, ...]:
    """Return one sentence for each limit that the advised step would pass; none hides a step."""
    if advice is None or about.known is None or about.job.closed:
        return ()
    words = words_for(about)
    dangers = frozenset(each.id for each in words.cautions.values() if each.danger)
    signs = stop_signs(
        compiled(ws, about.job, about.machine),
        about.job.line,
        advice,
        preferences(ws, left_out(about.job.line, about.known.words, about.job.cannot)),
        limits(ws),
        dangers,
    )
    return tuple(sentence(each) for each in signs)


def sentence(sign: StopSign) -> str:
    """Return a stop sign as a sentence."""
    return _WORDS[sign.rule].format(value=sign.value, limit=sign.limit)


def so_far(ws: Workshop, about: Subject, advice: Advice | None) -> str:
    """Return what a job has cost so far as one sentence; empty before anything was done."""
    if about.known is None or advice is None:
        return ""
    return spent_words(spent(compiled(ws, about.job, about.machine), about.job.line))


def spent_words(cost: Spent) -> str:
    """Return what was spent as one sentence; empty when it is nothing."""
    if cost.minutes < 0.5 and not cost.money:
        return ""
    money = f" and {cost.money:.0f} in money" if cost.money else ""
    return f"So far: about {cost.minutes:.0f} minutes of your work{money}."
