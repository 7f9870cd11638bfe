"""A family's page: the section drawing, how many faults to expect, faults by likelihood, checks by area."""

from __future__ import annotations

from collections.abc import Iterator
from math import prod

from powergood.bench.cutaway import SUSPECT_FROM
from powergood.bench.cutaway_views import Cutaway, CutawayLayer, CutawayPart, PartStanding
from powergood.bench.knowhow.front import sheets_of
from powergood.bench.knowhow.numbers import source_line
from powergood.bench.knowhow.reading import Reading, named, reading
from powergood.bench.knowhow.strength_words import LIKELIHOODS
from powergood.bench.knowhow.views import CheckGroup, CheckLine, FamilyView, FaultGroup, NumberLine
from powergood.bench.machine_views import CellLine
from powergood.bench.workshop import Workshop
from powergood.ids import part_of
from powergood.knowledge.model import Check, Part
from powergood.knowledge.stops import stops


def family(ws: Workshop, kind: str) -> FamilyView:
    """Return a family, or a model sheet's machine, as a person reads it.

    Raises
    ------
    UnknownThing : no pack has it.
    """
    about = reading(ws.library, kind)
    model, of = about.known.model, about.known.family
    expected = of.expected_faults
    return FamilyView(
        kind=kind,
        title=model.title,
        family=named(of.id, ws.library),
        whole_family=kind == of.id,
        years=of.years,
        expected=NumberLine(
            "",
            "Faults to expect in one machine",
            f"{expected.value:g}",
            source_line(model, expected.source),
            expected.weight,
        ),
        note=of.note,
        cutaway=_cutaway(about),
        faults=tuple(_by_likelihood(about)),
        checks=tuple(_by_area(about)),
        sheets=sheets_of(ws.library, of.id),
        cells=tuple(
            CellLine(each.id, each.title, each.kind, each.place, each.polarity) for each in model.cells
        ),
    )


def _by_likelihood(about: Reading) -> Iterator[FaultGroup]:
    ranked = sorted(about.chances, key=lambda name: (-about.chances[name], name))
    above = 1.1
    for least, title in LIKELIHOODS:
        inside = [about.line(name) for name in ranked if least <= about.chances[name] < above]
        if inside:
            yield FaultGroup(title, tuple(inside))
        above = least


def _by_area(about: Reading) -> Iterator[CheckGroup]:
    homes = {each.id: each.area for each in about.known.model.functions}
    homes |= {each.id: each.area for each in about.known.model.signs}
    found: dict[str, list[CheckLine]] = {area.id: [] for area in about.known.model.areas}
    for check in about.known.model.checks:
        looked_at = stops(check)[-1].of
        found.setdefault(homes.get(looked_at, ""), []).append(check_line(about, check))
    for area, lines in found.items():
        if lines:
            ordered = sorted(lines, key=lambda line: (len(line.opens), line.minutes, line.ask))
            yield CheckGroup(about.known.words.area(area), tuple(ordered))


def check_line(about: Reading, check: Check) -> CheckLine:
    """Return a check as it stands in a list."""
    opens = tuple(each.title for each in about.way(check.open))
    return CheckLine(check.id, check.ask, check.minutes.value, check.power, opens)


def _cutaway(about: Reading) -> Cutaway:
    """Return the section drawing; a tile's strength is the chance that anything is wrong with the part."""
    tiles: dict[str, list[CutawayPart]] = {}
    for slot, part in about.known.words.homes.items():
        tiles.setdefault(part.opening, []).append(_tile(about, slot, part))
    layers = [CutawayLayer("", "Outside", 0, True, parts=tuple(tiles.get("", ())))]
    for each in sorted(about.known.model.openings, key=lambda opening: opening.layer):
        layers.append(
            CutawayLayer(
                opening=each.id,
                title=each.title,
                layer=each.layer + 1,
                open=False,
                behind=tuple(about.known.words.opening(name) for name in each.behind),
                minutes=each.minutes.value,
                fasteners=each.fasteners,
                parts=tuple(tiles.get(each.id, ())),
            )
        )
    words = "Each part lies behind the cover above it; its mark says how likely something is wrong with it."
    return Cutaway(tuple(layers), words=words)


def _tile(about: Reading, slot: str, part: Part) -> CutawayPart:
    none = prod(1.0 - chance for fault, chance in about.chances.items() if part_of(fault) == part.id)
    standing: PartStanding = "suspect" if 1.0 - none >= SUSPECT_FROM else "unknown"
    return CutawayPart(slot, about.known.words.part(slot), standing, 1.0 - none)
