"""What is said of a machine: complaints and what they tell, and what is asked as it is taken in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from powergood.knowledge.claims import Claim


@dataclass(frozen=True, slots=True)
class ToldFinding:
    """A finding that a complaint stands for; only told, never seen."""

    check: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to a splitting question: the words, and the complaint it leads to."""

    words: str
    complaint: str


@dataclass(frozen=True, slots=True)
class Complaint:
    """What people say is wrong, in their words, and the findings it stands for.

    An unclear one has no findings but asks one question (`ask`) whose answers are other complaints.
    """

    id: str
    words: str
    also: tuple[str, ...] = ()
    findings: tuple[ToldFinding, ...] = ()
    ask: str = ""
    answers: tuple[Answer, ...] = ()


@dataclass(frozen=True, slots=True)
class IntakeFact:
    """Something known at take-in that makes faults likelier: kept damp, a spill seen, repaired before.

    `multiplies` gives factors on the odds, keyed by fault, part or area. `from_year`/`to_year` make it an
    age band that answers itself from the machine's year.
    """

    id: str
    ask: str
    multiplies: Mapping[str, Claim]
    from_year: int = 0
    to_year: int = 0
