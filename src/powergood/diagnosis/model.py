"""What the diagnosis answers: `Advice` and what it is made of.

These are the objects that the Python API returns, that the pages show and that `advise --json` prints.
Fields may be added; none is taken away. Chances are in [0, 1]. Costs are in minutes of your time: money,
waiting and harm are turned into minutes by your `Preferences`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

StepKind = Literal["check", "fix", "opening", "refit", "gate", "stop"]


@dataclass(frozen=True, slots=True)
class Preferences:
    """What your time, money and machine are worth to you, and when enough is enough.

    `hour` is money for an hour of your work, `wait_hour` money for an hour of waiting, `worth` what the
    working machine is worth to you in money. `threshold` is the chance of a remaining fault below which
    a passed function is proven. `start` is what one more start costs in minutes: switching off, waiting,
    wear; `noting` the minutes to read what a check asks and to write down what it showed. All defaults are
    judgement.
    """

    hour: float = 12.0
    wait_hour: float = 0.5
    worth: float = 150.0
    threshold: float = 0.02
    cannot: frozenset[str] = frozenset()
    start: float = 3.0
    noting: float = 0.5

    def minutes(self, money: float) -> float:
        """Return `money` in minutes of your time."""
        return 60.0 * money / self.hour


@dataclass(frozen=True, slots=True)
class FaultChance:
    """One fault in one part instance, and its chance of being present now.

    `before` is its chance before anything was known; `breaks` the chance that it is present and breaks
    one of the functions wanted; `mended_by` the fix that costs least now for the chance that it cures this.
    """

    fault: str
    part: str
    chance: float
    title: str = ""
    area: str = ""
    before: float = 0.0
    breaks: float = 0.0
    mended_by: str = ""


@dataclass(frozen=True, slots=True)
class AreaChance:
    """The chance that an area's trouble is something nobody listed."""

    area: str
    chance: float
    title: str = ""


@dataclass(frozen=True, slots=True)
class Together:
    """A set of faults that together break something wanted, and its share of the samples drawn."""

    faults: tuple[str, ...]
    chance: float


@dataclass(frozen=True, slots=True)
class GateState:
    """A safety condition and whether it is met; `holds_back` are the steps that wait for it."""

    gate: str
    met: bool
    because: str
    title: str = ""
    ask: str = ""
    cautions: tuple[str, ...] = ()
    holds_back: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OutcomeChance:
    """One outcome a check may have: its name, its words, its chance, and what it would leave suspect.

    `leaves` are the parts likeliest to be at fault after it, with their chances, most suspect first.
    """

    outcome: str
    chance: float
    words: str = ""
    leaves: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One step that could be done now, with its cost and the expected total if it is done next.

    `minutes` are hands-on, openings and refits included; `elapsed` is waiting on top of them.
    `expected_total` is the expected cost of the whole rest of the job, in minutes of your time. `on_pad`
    marks a look at the first seconds of a start, which is best taken with all others of the same start.
    """

    step: str
    kind: StepKind
    ask: str
    outcomes: tuple[OutcomeChance, ...]
    minutes: float
    elapsed: float
    money: float
    opens: tuple[str, ...]
    expected_total: float
    why: str
    copy: int = 0
    refits: tuple[str, ...] = ()
    cures: tuple[tuple[str, float], ...] = ()
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    wrong_when: tuple[str, ...] = ()
    harm: float = 0.0
    consent: bool = False
    note: str = ""
    on_pad: bool = False


@dataclass(frozen=True, slots=True)
class FunctionState:
    """Where a wanted function stands. `left` is the chance that a fault still breaks it.

    `proven`: a check of it has passed as it will stay fitted, after the last act that touched what it
    needs, and `left` is under the threshold.
    """

    function: str
    title: str
    standing: Literal["proven", "passed", "failing", "unknown"]
    left: float
    passed_by: str = ""


@dataclass(frozen=True, slots=True)
class Hinge:
    """The number on which the first step hangs most.

    Were the odds of `fault` `odds` times what is thought, `step` would come first and save `saves` minutes on
    average. With `function` it is not the odds: were the chance that the fault stops that function, or shows
    that sign, `strength`.
    """

    fault: str
    odds: float
    step: str
    saves: float
    function: str = ""
    strength: float = 0.0


@dataclass(frozen=True, slots=True)
class Exchange:
    """A part that was replaced and may or may not have been at fault.

    `slot` is its place and the name of the old part, `instance` what sits there now, `chance` that the old
    one has a fault. Put back for one look, it tells: `minutes` for that, in and out again.
    """

    slot: str
    instance: str
    chance: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Against:
    """The advised step held against another that a person may think of.

    `because` says which: the next best, the likeliest suspect's own fix, or the quickest look. `saves` are
    the minutes that the whole rest of the job is expected to cost less with the advised step first, `error`
    their standard error over the samples (0: not known). For an own fix `fault` and `chance` are the
    suspect's, and `left` the chance that something wanted is still broken after it; for a quickest look,
    `tells` are the minutes that it is expected to save later. `words` are all that in words.
    """

    because: Literal["next best", "own fix", "quickest"]
    step: str
    kind: StepKind
    saves: float
    error: float
    words: str
    fault: str = ""
    chance: float = 0.0
    left: float = 0.0
    tells: float = 0.0


@dataclass(frozen=True, slots=True)
class Advice:
    """Everything that can be said now from the knowledge and the facts; a pure function of the two.

    `steps` is ranked, best first. `expected_total` ± `expected_total_error` is what the advised plan
    costs on average; no plan can average below `at_least`. `conflict` holds the numbers of the facts
    that together fit nothing known, `unread` those of facts that name a check, an outcome or a fix which the
    model does not have: they change nothing. `error` is the greatest error of a fault's chance (0: exact).
    `hinge` names the number on which the first step hangs; without one it stays first, of the steps whose
    plans were followed, if the odds of any one fault are three times or a third of what is thought, or one
    link a fifth stronger or weaker. `exchanged` are parts that were replaced perhaps in vain.
    `against` is what the first step is held against; empty while a gate or stopping stands first.
    """

    family: str
    digest: str
    faults: tuple[FaultChance, ...]
    something_else: tuple[AreaChance, ...]
    together: tuple[Together, ...]
    cleared: tuple[str, ...]
    gates: tuple[GateState, ...]
    steps: tuple[Step, ...]
    expected_total: float
    expected_total_error: float
    at_least: float
    conflict: tuple[int, ...]
    functions: tuple[FunctionState, ...] = ()
    fits_nothing: float = 1.0
    done: bool = False
    unexplained: tuple[str, ...] = ()
    facts: int = 0
    error: float = 0.0
    unread: tuple[int, ...] = ()
    hinge: Hinge | None = None
    against: tuple[Against, ...] = ()
    exchanged: tuple[Exchange, ...] = ()
    format: int = 1
