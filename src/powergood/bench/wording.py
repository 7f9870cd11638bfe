"""The words for the ids of one machine model, whichever kind of thing they name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from powergood.bench.citing import cited, plain
from powergood.bench.step_views import CautionWords
from powergood.diagnosis.compiled import SOMETHING_ELSE
from powergood.ids import slot_name
from powergood.knowledge.bring_up import stages_of
from powergood.knowledge.model import Caution, Check, Fix, Gate, MachineModel, Opening, Part, Stage
from powergood.knowledge.stops import outcome_named, stops, words_when_good

GENERAL_OUTCOMES: Mapping[str, str] = {
    "good": "yes",
    "bad": "no",
    "no verdict": "no verdict",
    "done": "done",
    "opened": "opened",
    "refitted": "refitted",
    "met": "met",
}

AREA_FIX = "replace-"
"""How the fix of an area's *something else here* is named: `replace-power`."""


@dataclass(frozen=True, slots=True)
class Wording:
    """Words and nouns of one machine model by id. An id that is not known stands for itself.

    `area_fixes` are the fixes of each area's *something else here* with the openings that they need.
    """

    parts: Mapping[str, str] = field(default_factory=dict)
    homes: Mapping[str, Part] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    functions: Mapping[str, str] = field(default_factory=dict)
    signs: Mapping[str, str] = field(default_factory=dict)
    areas: Mapping[str, str] = field(default_factory=dict)
    complaints: Mapping[str, str] = field(default_factory=dict)
    intake: Mapping[str, str] = field(default_factory=dict)
    checks: Mapping[str, Check] = field(default_factory=dict)
    fixes: Mapping[str, Fix] = field(default_factory=dict)
    area_fixes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    openings: Mapping[str, Opening] = field(default_factory=dict)
    gates: Mapping[str, Gate] = field(default_factory=dict)
    stages: Mapping[str, Stage] = field(default_factory=dict)
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)

    def cited(self, text: str) -> str:
        """Return a text that names its sources by their titles."""
        return cited(text, self.sources)

    def plain(self, text: str) -> str:
        """Return a text without the keys of its sources."""
        return plain(text, self.sources)

    def part(self, name: str) -> str:
        """Return the title of a part, slot or instance (`memory.2`, `disk/2`), or of something else here."""
        if name.startswith(f"{SOMETHING_ELSE}."):
            return self.fault(name)
        slot, _, later = name.partition("/")
        title = self.parts.get(slot, slot)
        return f"{title} (replacement {later})" if later else title

    def fault(self, name: str) -> str:
        """Return the title of a fault, with the number of the copy where there are several.

        What nobody listed is named by its area: *something else here: Picture*.
        """
        kind, _, area = name.partition(".")
        if kind == SOMETHING_ELSE:
            return f"Something else here: {self.area(area)}"
        return self.faults.get(name) or self.faults.get(without_copy(name), name)

    def function(self, name: str) -> str:
        """Return the title of a function or a sign."""
        return self.functions.get(name) or self.signs.get(name, name)

    def area(self, name: str) -> str:
        """Return the title of an area."""
        return self.areas.get(name, name)

    def opening(self, name: str) -> str:
        """Return the title of an opening."""
        return self.openings[name].title if name in self.openings else name

    def gate(self, name: str) -> str:
        """Return the title of a gate, or of a stage of bring-up, which is answered like one."""
        if name in self.stages:
            return f"Stage “{self.stages[name].title}”"
        return self.gates[name].title if name in self.gates else name

    def quantity(self, name: str) -> str:
        """Return what a reading is of: the words typed, or those of the stage that asked for it."""
        stage, _, wanted = name.partition(".")
        limits = self.stages[stage].limits if stage in self.stages else ()
        return next((limit.title for limit in limits if limit.id == wanted), name)

    def step(self, name: str) -> str:
        """Return the sentence of a check, a fix or an opening."""
        base, copy = split_step(name)
        if base in self.checks:
            words = self.checks[base].ask
        elif base in self.fixes:
            words = self.fixes[base].do
        elif base in self.openings:
            words = f"Open: {self.openings[base].title}"
        else:
            words = self.gate(base)
        return f"{words} (copy {copy})" if copy else words

    def outcome(self, check: str, outcome: str) -> str:
        """Return the words for one outcome of a check."""
        known = self.checks.get(split_step(check)[0])
        if known is None:
            return GENERAL_OUTCOMES.get(outcome, outcome)
        given = dict(outcomes(known)).get(outcome_named(known, outcome), "")
        return given or GENERAL_OUTCOMES.get(outcome) or f"stops at: {self.function(outcome)}"

    def cautions_of(self, names: Iterable[str]) -> tuple[CautionWords, ...]:
        """Return cautions with their words, what can kill first, then other dangers, each once."""
        known = [self.cautions[name] for name in dict.fromkeys(names) if name in self.cautions]
        known.sort(key=lambda caution: (not caution.deadly, not caution.danger))
        return tuple(
            CautionWords(c.id, c.title, c.words, c.danger or c.deadly, c.source, c.deadly) for c in known
        )

    def every_name(self) -> dict[str, str]:
        """Return all words in one mapping, keyed `kind:id` (`part:disk`, `function:picture`)."""
        tables: dict[str, Mapping[str, str]] = {
            "part": self.parts,
            "fault": self.faults,
            "function": {**self.signs, **self.functions},
            "area": self.areas,
            "check": {check.id: check.ask for check in self.checks.values()},
            "fix": {fix.id: fix.do for fix in self.fixes.values()},
            "opening": {opening.id: opening.title for opening in self.openings.values()},
            "gate": {gate.id: gate.title for gate in self.gates.values()},
        }
        return {f"{kind}:{name}": words for kind, table in tables.items() for name, words in table.items()}


def outcomes(check: Check) -> tuple[tuple[str, str], ...]:
    """Return the outcomes of a check with their words, in the order they are shown; words may be empty."""
    if check.rungs or check.grid:
        return (*((stop.outcome, stop.seen) for stop in stops(check)), ("good", words_when_good(check)))
    return (("good", check.good), ("bad", check.bad))


def split_step(step: str) -> tuple[str, int]:
    """Return the id and the copy number (0: none) that a step's key stands for: `try-memory#2`."""
    base, _, copy = step.partition("#")
    return base, int(copy) if copy.isdigit() else 0


def without_copy(fault: str) -> str:
    """Return a fault's id without the number of the copy: `memory.2.unseated` is `memory.unseated`."""
    part, _, mode = fault.partition(".")
    number, _, rest = mode.partition(".")
    return f"{part}.{rest}" if number.isdigit() and rest else fault


def wording(model: MachineModel) -> Wording:
    """Return the words of a machine model, its copies unrolled into slots."""
    homes: dict[str, Part] = {}
    parts: dict[str, str] = {}
    faults: dict[str, str] = {}
    copies = {part.id: part.copies for part in model.parts}
    for part in model.parts:
        for copy in range(1, part.copies + 1):
            slot = slot_name(part.id, copy, part.copies)
            homes[slot] = part
            parts[slot] = part.title if part.copies == 1 else f"{part.title} {copy}"
        parts.setdefault(part.id, part.title)
    for fault in model.faults:
        faults[fault.id] = fault.title
        part_id, _, mode = fault.id.partition(".")
        if copies.get(part_id, 1) > 1:
            for copy in range(1, copies[part_id] + 1):
                faults[f"{part_id}.{copy}.{mode}"] = f"{fault.title} ({copy})"
    return Wording(
        parts=parts,
        homes=homes,
        faults=faults,
        functions={each.id: each.title for each in model.functions},
        signs={each.id: each.title for each in model.signs},
        areas={each.id: each.title for each in model.areas},
        complaints={each.id: each.words for each in model.complaints},
        intake={each.id: each.ask for each in model.intake},
        checks={each.id: each for each in model.checks},
        fixes={each.id: each for each in model.fixes},
        area_fixes={f"{AREA_FIX}{each.id}": each.open for each in model.areas},
        openings={each.id: each for each in model.openings},
        gates={each.id: each for each in model.gates},
        sources={each.id: each.title for each in model.sources},
        stages={each.id: each for each in stages_of(model)},
        cautions={each.id: each for each in model.cautions},
    )
