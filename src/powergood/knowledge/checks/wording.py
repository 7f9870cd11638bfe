"""Rules about how steps and complaints are written: ids, outcomes, cautions, questions."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import ClassVar

from powergood.ids import part_of
from powergood.knowledge.assembly import KINDS, Assembly
from powergood.knowledge.checks.rule import Rule, Scene
from powergood.knowledge.model import Check, Fix
from powergood.knowledge.problems import Problem
from powergood.knowledge.stops import stops

_WORD = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_FAULT = re.compile(rf"{_WORD.pattern}\.{_WORD.pattern}")
RESERVED = frozenset({"good", "bad"})
"""Outcome names of every yes/no check, so no function or sign may be called so."""


class IdForm(Rule):
    """An id stands in file names, addresses, commands and slots, so it keeps to plain letters."""

    id = "id-form"
    sentence = "An id is of small letters, digits and hyphens; a fault's is `part.mode`."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each id that is not of that form."""
        for kind in KINDS:
            if kind == "sources":
                continue
            for name, placed in scene.assembly.kind(kind).items():
                form = _FAULT if kind == "faults" else _WORD
                if not form.fullmatch(name) and not (kind == "faults" and name.count(".") != 1):
                    message = f"an id is of small letters, digits and hyphens; `{name}` is not"
                    yield self.problem(message, placed.where.at("id"))
                elif name in RESERVED and kind in ("functions", "signs"):
                    yield self.problem(f"`{name}` is the name of an outcome", placed.where.at("id"))


class OneQuestion(Rule):
    """A check is about one function or sign, or it is a ladder, or a grid."""

    id = "one-question"
    sentence = "A check has one of `of`, `rungs` and `grid`; no rung twice."

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each check that is about nothing, about several things, or has a rung twice."""
        for name, check in scene.assembly.checks.items():
            item = check.item
            given = [field for field in ("of", "rungs", "grid") if getattr(item, field) not in ("", (), None)]
            if not given:
                message = f"the check `{name}` must say what it is about: `of`, `rungs` or `grid`"
                yield self.problem(message, check.where)
            elif len(given) > 1:
                named = " or ".join(f"`{field}`" for field in given)
                message = f"the check `{name}` must say {named}, not both"
                yield self.problem(message, check.where)
            seen: set[str] = set()
            for stop in stops(item):
                if stop.of in seen:
                    message = f"the rung `{stop.of}` stands in this {'grid' if item.grid else 'ladder'} twice"
                    yield self.problem(message, check.where.at(*stop.path))
                seen.add(stop.of)


class OpenOrClosed(Rule):
    """An opening cannot be open and closed for the same check."""

    id = "open-or-closed"
    sentence = "No check wants one opening both open and closed, or a part both out and fitted."
    local = True

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each check that contradicts itself."""
        for check in scene.assembly.checks.values():
            for place, name in enumerate(check.item.closed):
                if name in check.item.open:
                    message = f"`{name}` cannot be open and closed for one check"
                    yield self.problem(message, check.where.at("closed", place))
            for place, name in enumerate(check.item.fitted):
                if name in check.item.out:
                    message = f"`{name}` cannot be out and fitted for one check"
                    yield self.problem(message, check.where.at("fitted", place))


class ComplaintLeads(Rule):
    """A complaint stands for findings, or asks the one question that leads to some."""

    id = "complaint-leads"
    sentence = "A complaint has findings, or a question with answers."
    rests_on: ClassVar[Mapping[str, frozenset[str]]] = {"complaints": frozenset({"findings", "answers"})}

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each complaint that leads nowhere."""
        for name, complaint in scene.assembly.complaints.items():
            item = complaint.item
            if item.findings and (item.ask or item.answers):
                message = "a complaint stands for findings or asks a question, not both"
                yield self.problem(message, complaint.where)
            elif not item.findings and not (item.ask and item.answers):
                message = f"the complaint `{name}` leads nowhere: give `findings`, or `ask` with `answers`"
                yield self.problem(message, complaint.where)


class AnswerSettles(Rule):
    """One question is asked; a second would send a newcomer away."""

    id = "answer-settles"
    severity = "warning"
    sentence = "Each answer leads to a complaint that has findings."

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each answer that leads to another question."""
        complaints = scene.assembly.complaints
        for complaint in complaints.values():
            for place, answer in enumerate(complaint.item.answers):
                target = complaints.get(answer.complaint)
                if target and not target.item.findings:
                    message = f"this answer leads to `{answer.complaint}`, which only asks again"
                    yield self.problem(message, complaint.where.at("answers", place, "complaint"))


class DangerWarned(Rule):
    """Where fixing a part can hurt, looking at it with the power on can hurt too."""

    id = "danger-warned"
    severity = "warning"
    sentence = "A powered check, or a fix, at a part whose fixes carry a danger caution carries a caution."

    def find(self, scene: Scene) -> Iterator[Problem]:
        """Yield each step near danger that has no caution."""
        dangerous = _dangerous_parts(scene.assembly)
        for name, check in scene.assembly.checks.items():
            near = _parts_near(check.item, scene.assembly) & set(dangerous)
            if check.item.power != "off" and not check.item.cautions and near:
                part = min(near)
                message = (
                    f"`{name}` is done with the power on near `{part}`, whose fix `{dangerous[part]}` is"
                    " dangerous; name a caution"
                )
                yield self.problem(message, check.where)
        for name, fix in scene.assembly.fixes.items():
            near = _parts_fixed(fix.item) & set(dangerous)
            if not fix.item.cautions and near:
                part = min(near)
                message = (
                    f"`{name}` works on `{part}`, whose fix `{dangerous[part]}` is dangerous; name a caution"
                )
                yield self.problem(message, fix.where)


def _dangerous_parts(assembly: Assembly) -> dict[str, str]:
    """Return the parts that a fix with a danger caution works on, each with such a fix."""
    found: dict[str, str] = {}
    danger = {name for name, caution in assembly.cautions.items() if caution.item.danger}
    for name, fix in assembly.fixes.items():
        if danger.intersection(fix.item.cautions):
            for part in _parts_fixed(fix.item):
                found.setdefault(part, name)
    return found


def _parts_fixed(fix: Fix) -> set[str]:
    return {part_of(fault) for fault in fix.cures} | ({fix.replaces} if fix.replaces else set())


def _parts_near(check: Check, assembly: Assembly) -> set[str]:
    """Return the parts a person handles in a check, or has bare before them for it."""
    bare = {name for name, part in assembly.parts.items() if part.item.opening in check.open}
    handled = {*check.out, *check.instead, *([check.each_copy_of] if check.each_copy_of else [])}
    return bare | handled


RULES: tuple[Rule, ...] = (
    IdForm(),
    OneQuestion(),
    OpenOrClosed(),
    ComplaintLeads(),
    AnswerSettles(),
    DangerWarned(),
)
