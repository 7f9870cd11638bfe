"""Which faults of a pack's families no check parts: what the author of a pack should know, in words."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.library import Library
from powergood.bench.wording import Wording, without_copy
from powergood.diagnosis import Alike, parting
from powergood.diagnosis.apart import PARTS_FROM
from powergood.ids import part_of
from powergood.packs import Pack


@dataclass(frozen=True, slots=True)
class PairLine:
    """Two faults that no check parts.

    one : id of the first.
    other : id of the second.
    one_title : name of the first.
    other_title : name of the second.
    difference : the greatest difference between what a check shows of the two, from 0 to 1.
    check : id of the check where it is that great; empty when all show the two alike.
    fix : the fix that cures both; empty when they need different ones.
    without : the part with which out, a check that there is would part them; empty for none.
    """

    one: str
    other: str
    one_title: str
    other_title: str
    difference: float
    check: str
    fix: str
    without: str


@dataclass(frozen=True, slots=True)
class FamilyPairs:
    """What the checks of one family can part.

    family : its id.
    title : its name.
    pairs : how many pairs of faults there are.
    alike : those that no check parts and that need different fixes.
    same_fix : those that no check parts but that one fix cures.
    copies : faults of a part with several copies, where no check says which copy has it.
    apart_in_sheets : how many more pairs are unparted, of parts that no sheet of the pack has both of.
    """

    family: str
    title: str
    pairs: int
    alike: tuple[PairLine, ...]
    same_fix: tuple[PairLine, ...]
    copies: tuple[PairLine, ...]
    apart_in_sheets: int


def unparted(pack: Pack, parts_from: float = PARTS_FROM) -> tuple[FamilyPairs, ...]:
    """Return for each family of a pack the pairs of faults that no check parts by `parts_from` or more."""
    library = Library((pack,))
    found = []
    for name in sorted(pack.families):
        words = library.known(name).words
        seen = parting(library.compiled(name, 0, {}), parts_from)
        met = [pair for pair in seen.alike if _met(pack, name, pair)]
        found.append(
            FamilyPairs(
                family=name,
                title=library.title(name),
                pairs=seen.pairs,
                alike=tuple(_line(pair, words) for pair in met),
                same_fix=tuple(_line(pair, words) for pair in seen.same_fix),
                copies=tuple(_line(pair, words) for pair in seen.copies),
                apart_in_sheets=len(seen.alike) - len(met),
            )
        )
    return tuple(found)


def _met(pack: Pack, family: str, pair: Alike) -> bool:
    """Tell whether a machine can have both parts: some sheet of the family has, or it has no sheets."""
    sheets = [sheet for sheet in pack.sheets.values() if sheet.family == family]
    parts = [part_of(fault) for fault in (pair.one, pair.other)]
    return not sheets or any(all(sheet.copies.get(part, 1) for part in parts) for sheet in sheets)


def _line(pair: Alike, words: Wording) -> PairLine:
    one, other = without_copy(pair.one), without_copy(pair.other)
    return PairLine(
        one=one,
        other=other,
        one_title=words.fault(one),
        other_title=words.fault(other),
        difference=pair.difference,
        check=pair.check,
        fix=pair.fix.partition("#")[0],
        without=pair.without,
    )
