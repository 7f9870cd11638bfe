"""What the pages about learned numbers and preferences are drawn from; the same rules as for other views."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TaughtLine:
    """One learned number, as a person reads it.

    number : its id.
    title : what it is of, in words.
    before : the pack's value, in words with its unit.
    now : the value that closed jobs made of it.
    between : the interval that holds it with 90 in 100.
    evidence : one sentence: what was counted, in how many jobs.
    source : where the pack's value came from, and what it is worth in cases.
    jobs : the jobs that said something of it.
    moved : true when it is now clearly another than before, so that it is worth a person's eyes.
    set_aside : true when it is shown and not used.
    share_before : where the pack's value lies on a scale from 0 to 1, for the drawing.
    share_now : the same for the value now.
    share_low : the same for the lower end of the interval.
    share_high : the same for its upper end.
    """

    number: str
    title: str
    before: str
    now: str
    between: str
    evidence: str
    source: str
    jobs: tuple[int, ...]
    moved: bool
    set_aside: bool
    share_before: float = 0.0
    share_now: float = 0.0
    share_low: float = 0.0
    share_high: float = 0.0


@dataclass(frozen=True, slots=True)
class TaughtGroup:
    """Learned numbers of one kind.

    name : a short name, fit for an address.
    title : what they are.
    about : one sentence that says how they are used.
    lines : the numbers that moved, most evidence first.
    still : the numbers that hardly moved.
    """

    name: str
    title: str
    about: str
    lines: tuple[TaughtLine, ...]
    still: tuple[TaughtLine, ...]


@dataclass(frozen=True, slots=True)
class TaughtView:
    """The page of all learned numbers.

    jobs : how many closed jobs there are.
    groups : the numbers by kind; empty ones are left out.
    """

    jobs: int
    groups: tuple[TaughtGroup, ...]


@dataclass(frozen=True, slots=True)
class PreferenceLine:
    """One preference or limit.

    name : its name in the book and on the command line.
    title : what it is, in words.
    hint : one sentence about it.
    unit : the unit of its value.
    value : the value set; empty when none is.
    default : the value that counts when none is set; empty for none.
    limit : true for a stop rule.
    tick : true for one that is ticked or not; its value is then 1 or empty.
    history : what was set, oldest first: number of the fact, when, the value, who.
    """

    name: str
    title: str
    hint: str
    unit: str
    value: str
    default: str
    limit: bool
    tick: bool = False
    history: tuple[tuple[int, str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class WorthView:
    """The page of preferences and limits.

    lines : all of them, in the order they are asked.
    """

    lines: tuple[PreferenceLine, ...]


@dataclass(frozen=True, slots=True)
class RestsOn:
    """What a job's advice rests on besides the pack.

    words : one sentence about the learned numbers it uses; empty when there are none.
    newer : true when closed jobs have taught something else since the job began.
    """

    words: str = ""
    newer: bool = False
