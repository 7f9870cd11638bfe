"""What taking a machine in shows and hands over: kinds, questions, and what typed words were taken for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal


@dataclass(frozen=True, slots=True)
class IntakeLine:
    """A take-in question of the machine's family, and its answer so far.

    question : its id.
    ask : the question in words.
    answer : yes, no, or not asked.
    from_year : true when the machine's year answers it; it is then not asked.
    """

    question: str
    ask: str
    answer: Literal["yes", "no", "not asked"]
    from_year: bool = False


@dataclass(frozen=True, slots=True)
class WantedFunction:
    """A function a job may end with.

    function : its id.
    title : its name in words.
    wanted : true when it is wanted unless the person says otherwise.
    """

    function: str
    title: str
    wanted: bool


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of machine one can take in: a model sheet, or a family where no sheet fits.

    sheet : id of the sheet or family.
    title : its name in words.
    family : title of its family.
    make : invented or real maker as the sheet gives it.
    year : year on the sheet; 0 when none.
    years : the family's span of years in words.
    whole_family : true when it is the family itself, for a machine without a sheet.
    note : further words.
    intake : the take-in questions of its family, those answered by the year left out.
    functions : the functions a job on it can ask for.
    """

    sheet: str
    title: str
    family: str
    make: str = ""
    year: int = 0
    years: str = ""
    whole_family: bool = False
    note: str = ""
    intake: tuple[IntakeLine, ...] = ()
    functions: tuple[WantedFunction, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeIn:
    """What the take-in page hands over. Only `name` and `sheet` are needed; details can follow.

    name : what the machine is to be called.
    sheet : id of its model sheet or family.
    tag : its tag; empty takes the next free one.
    year : year of make; 0 takes the sheet's.
    story : the giver's story.
    came_with : what came with it.
    condition : condition in words.
    place : where it is kept.
    edition : id of the edition of the standard that its supply follows; empty where that is not known.
    intake : answers to the family's take-in questions, by question id.
    photo : the bytes of a photo, or the digest of one that was kept before; empty when none.
    caption : words under the photo.
    """

    name: str
    sheet: str
    tag: str = ""
    year: int = 0
    story: str = ""
    came_with: str = ""
    condition: str = ""
    place: str = ""
    edition: str = ""
    intake: Mapping[str, bool] = field(default_factory=dict)
    photo: bytes | str = b""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class ComplaintChoice:
    """A known complaint offered for typed words, or an answer to a splitting question.

    complaint : its id.
    words : the words to choose it by.
    score : how well the typed words fit, 0 to 1; 0 for an answer.
    """

    complaint: str
    words: str
    score: float = 0.0


@dataclass(frozen=True, slots=True)
class ComplaintMatch:
    """What typed words were taken for.

    words : the words as typed; they are kept whatever is found.
    best : id of the complaint they clearly stand for; empty when none, or when one question is open.
    choices : complaints that fit, best first, at most five.
    ask : the one splitting question; empty when none is needed.
    answers : its answers, each leading to a complaint.
    others : the other known complaints that need no question, in the pack's order, to choose by hand.
    """

    words: str
    best: str = ""
    choices: tuple[ComplaintChoice, ...] = ()
    ask: str = ""
    answers: tuple[ComplaintChoice, ...] = ()
    others: tuple[ComplaintChoice, ...] = ()
