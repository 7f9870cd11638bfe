"""Numbers on the know-how pages: the value in words, its source, and how finished jobs moved it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Named:
    """Something with a page of its own.

    name : its id.
    title : its words.
    """

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class SourceLine:
    """Where something was read.

    source : its key in the pack, or `judgement`, or `common practice`.
    title : what it is, in neutral words.
    address : where a link on its title leads, never shown as text; empty when there is none.
    licence : its licence, where one must be named.
    read : how it was read: full text, excerpt, recalled, judgement; empty where that says nothing.
    """

    source: str
    title: str
    address: str = field(default="", metadata={"link_only": True})
    licence: str = ""
    read: str = ""


@dataclass(frozen=True, slots=True)
class MovedLine:
    """How your own finished jobs moved a number.

    learned : its value now.
    low : lower end of its interval.
    high : upper end of its interval.
    jobs : numbers of the jobs that said something.
    cases : how many cases were counted, in parts where a job left it open.
    set_aside : true when it is shown and not used.
    """

    learned: float
    low: float
    high: float
    jobs: tuple[int, ...]
    cases: float
    set_aside: bool = False


@dataclass(frozen=True, slots=True)
class NumberLine:
    """One number with where it comes from.

    number : its id, `fault:FAMILY:FAULT` and the like; empty for one that nothing moves.
    title : what it is of.
    value : the number in words, with its unit.
    source : where it was read.
    weight : pseudo-cases it is worth; 0 for a number that is not weighed.
    moved : how your own jobs moved it; none when none did.
    """

    number: str
    title: str
    value: str
    source: SourceLine
    weight: float = 0.0
    moved: MovedLine | None = None
