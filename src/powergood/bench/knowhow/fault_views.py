"""What a fault's page is drawn from: its signs, the faults that look alike, and its fixes."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.knowhow.family_views import FaultLine
from powergood.bench.knowhow.number_views import NumberLine, SourceLine
from powergood.bench.step_views import CautionWords


@dataclass(frozen=True, slots=True)
class SignLine:
    """How strongly one check shows a fault: one small bar.

    check : its id.
    ask : its sentence.
    seen : what is seen then.
    strength : chance that this is seen when the fault alone is there.
    words : that in words.
    """

    check: str
    ask: str
    seen: str
    strength: float
    words: str


@dataclass(frozen=True, slots=True)
class NeighbourLine:
    """A fault that looks alike, and what parts the two.

    fault : its id.
    title : its name.
    check : id of the check that parts them best; empty when nothing here does.
    ask : that check's sentence.
    here : what it tends to show for the fault of the page.
    there : what it tends to show for this one.
    fix : what cures both, where nothing parts them; empty for none.
    """

    fault: str
    title: str
    check: str = ""
    ask: str = ""
    here: str = ""
    there: str = ""
    fix: str = ""


@dataclass(frozen=True, slots=True)
class FixLine:
    """One way to mend a fault.

    fix : its id.
    do : its sentence.
    cures : chance that it cures this fault.
    minutes : hands-on minutes, openings not counted.
    way : minutes to open the way and to close it again.
    elapsed : minutes of waiting on top.
    money : money it costs.
    opens : titles of the openings, outermost first.
    disturbs : faults it may make, with how often.
    tools : tools it takes.
    cautions : cautions with their words.
    wrong_when : when it fails.
    note : further words.
    harm : chance of a loss as dear as the machine.
    unexplained : true when nobody can be sure why it helped.
    consent : true when it cannot be undone.
    """

    fix: str
    do: str
    cures: float
    minutes: float
    way: float
    elapsed: float
    money: float
    opens: tuple[str, ...]
    disturbs: tuple[FaultLine, ...]
    tools: tuple[str, ...]
    cautions: tuple[CautionWords, ...]
    wrong_when: tuple[str, ...]
    note: str
    harm: float
    unexplained: bool
    consent: bool


@dataclass(frozen=True, slots=True)
class FaultView:
    """A fault's page.

    kind : the family or sheet it was opened from.
    kind_title : name of the family or sheet.
    fault : its id.
    title : its name.
    part : the part it is of.
    where : where that part lies, in words.
    chance : chance before anything is known.
    copies : how many copies of the part there are.
    intermittent : chance that it shows in one start; 0 for one that always acts.
    danger : what can hurt; empty when nothing.
    sets_apart : what sets it apart, in the pack's words.
    signs : the checks that tell most of it.
    weaker : other checks that it moves.
    unseen : why no check sees it; empty when one does.
    neighbours : faults that look alike.
    fixes : ways to mend it.
    brings : faults it tends to bring.
    numbers : every number of the page with its source.
    sources : every source that the page's numbers and words name.
    """

    kind: str
    kind_title: str
    fault: str
    title: str
    part: str
    where: str
    chance: float
    copies: int
    intermittent: float
    danger: str
    sets_apart: str
    signs: tuple[SignLine, ...]
    weaker: tuple[SignLine, ...]
    unseen: str
    neighbours: tuple[NeighbourLine, ...]
    fixes: tuple[FixLine, ...]
    brings: tuple[FaultLine, ...]
    numbers: tuple[NumberLine, ...]
    sources: tuple[SourceLine, ...]
