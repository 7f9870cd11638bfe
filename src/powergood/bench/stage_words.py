"""Sentences about the stages of bring-up: what a reading says, what to do then, and where a job stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from powergood.bench.stage_standing import Read, error_of
from powergood.bench.stage_views import StageCard
from powergood.knowledge.bring_up import outside
from powergood.knowledge.model import Stage
from powergood.record.model import Reading
from powergood.units import Quantity, shown

VERDICTS: Mapping[str, str] = {
    "inside": "inside its limits",
    "below": "outside: too low. Stop here",
    "above": "outside: too high. Switch off and stop here",
    "nothing": "outside: nothing to speak of. Stop here",
    "too near to tell": "too near to tell: the limit lies within the meter's error",
}

THEN: Mapping[str, str] = {
    "outside": "Do not go on to the next stage. The next step on this page looks for the cause; once it is"
    " mended, read this again.",
    "powered": "Switch off and unplug. ",
    "too near to tell": "Read it again with a better meter and write its error beside it; or say below in"
    " words why it is let go.",
}
"""What to do next at a reading that is not plainly inside its limits."""


def verdict(read: Read) -> str:
    """Return where a reading lies, with the meter's error."""
    error = shown(Quantity(read.error, read.body.unit), 3)
    of_label = "" if read.share is None else f", {read.share:.3g} % of the label's"
    return f"{read.body.text}, give or take {error}{of_label}: {VERDICTS[read.place]}."


def then(read: Read, stage: Stage) -> str:
    """Return what to do next at a reading; nothing more where it is inside its limits."""
    if read.place == "inside":
        return ""
    if not outside((read.place,)):
        return " ".join(filter(None, (stage.when_near, THEN[read.place])))
    return (THEN["powered"] if stage.power != "off" else "") + THEN["outside"]


def baseline(read: Read | None, before: tuple[int, Reading] | None, said: str) -> str:
    """Return what was read when the machine was well, against now; `said` is what its sheet says."""
    sheet = f"The sheet says, when well: {said}." if said else ""
    if before is None:
        return sheet
    number, body = before
    before_now = f"When this machine was last well, in job {number}: {body.text}"
    if read is None or body.unit != read.body.unit:
        return " ".join(filter(None, (f"{before_now}.", sheet)))
    apart = read.body.value - body.value
    if abs(apart) <= read.error + error_of(body):
        return " ".join(filter(None, (f"{before_now}; the same now, within the meter's error.", sheet)))
    way = "higher" if apart > 0 else "lower"
    by = shown(Quantity(abs(apart), body.unit), 3)
    return " ".join(filter(None, (f"{before_now}; now {way} by {by}.", sheet)))


def where(cards: Sequence[StageCard], now: StageCard | None, stopped: StageCard | None) -> str:
    """Return where a job stands in the stages, in one sentence or two."""
    if not cards:
        return ""
    if now is None:
        return f"All {len(cards)} stages of bring-up are done."
    at = f"Stage {now.number} of {len(cards)}: {now.title}."
    if stopped is None:
        return at
    words = f"Stopped at stage {stopped.number}, {stopped.title}: {stopped.words}."
    return words if stopped is now else f"{words} To be done again first: {at}"


def told(cards: Sequence[StageCard], now: StageCard | None) -> str:
    """Return what the last thing written down at a stage has come to; empty before there is any."""
    last = max(cards, key=lambda card: card.at, default=None)
    if last is None or not last.at:
        return ""
    name = f"Stage {last.number}, {last.title}"
    if last.standing == "done":
        by = f": {last.words.rstrip('.')}" if last.words else ""
        after = f"Now stage {now.number}: {now.title}." if now else f"All {len(cards)} stages are done."
        return f"{name}, is done{by}. {after}"
    read = [f"{each.title}: {each.verdict}" for each in last.readings if each.verdict]
    if last.outcome_words and last.standing == "stopped":
        read.append(f"This says: {last.outcome_words.rstrip('.')}.")
    wanted = [each.place == "inside" for each in last.readings if each.place or not each.optional]
    if last.standing == "now" and wanted and all(wanted):
        read.append("All of it is in order; tick below that the stage is done.")
    halted = [f"{name}, is stopped: {last.words.rstrip('.')}."] if last.standing == "stopped" else []
    return " ".join([*halted, *read])
