"""Find which known complaint a person's own words stand for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from powergood.bench.intake_views import ComplaintChoice, ComplaintMatch
from powergood.bench.library import Kept
from powergood.bench.matching import Index, entry
from powergood.knowledge.model import Complaint

CLEAR: Final = 0.6
"""Score from which the best complaint is taken without asking (judgement)."""
CLEAR_BY: Final = 0.1
"""By how much the best must lead the second for that (judgement)."""
OFFERED: Final = 0.2
"""Score from which a complaint is offered at all (judgement)."""
MOST_CHOICES: Final = 5

_INDEXES: Final[Kept[Index]] = Kept(16)


def matched(complaints: Sequence[Complaint], words: str) -> ComplaintMatch:
    """Return what `words` stand for among the known complaints; the words are kept whatever is found.

    When the best one is unclear its question comes with the match, and nothing is taken as best.
    """
    known = tuple(sorted(complaints, key=lambda each: not each.ask))
    by_id = {complaint.id: complaint for complaint in known}
    hits = [hit for hit in _index(known).hits(words) if hit.score >= OFFERED]
    if not hits:
        return ComplaintMatch(words)
    choices = tuple(
        ComplaintChoice(hit.key, by_id[hit.key].words, round(hit.score, 3)) for hit in hits[:MOST_CHOICES]
    )
    lead = choices[0].score - (choices[1].score if len(choices) > 1 else 0.0)
    clear = choices[0].score >= CLEAR and lead >= CLEAR_BY
    return _settled(by_id[choices[0].complaint], words, choices, clear=clear)


def _index(complaints: tuple[Complaint, ...]) -> Index:
    said = tuple((each.id, each.words, each.also) for each in complaints)
    return _INDEXES.get(
        said,
        lambda: Index(entry(name, *((1.0, text) for text in (words, *also))) for name, words, also in said),
    )


def chosen(complaints: Sequence[Complaint], words: str, complaint: str) -> ComplaintMatch | None:
    """Return what a complaint picked by hand means, itself or its question; none when it is not known."""
    known = next((each for each in complaints if each.id == complaint), None)
    return None if known is None else _settled(known, words, (ComplaintChoice(known.id, known.words, 1.0),))


def _settled(
    best: Complaint, words: str, choices: tuple[ComplaintChoice, ...], *, clear: bool = True
) -> ComplaintMatch:
    if best.ask:
        answers = tuple(ComplaintChoice(answer.complaint, answer.words) for answer in best.answers)
        return ComplaintMatch(words, "", choices, best.ask, answers)
    return ComplaintMatch(words, best.id if clear else "", choices)
