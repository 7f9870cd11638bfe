"""Hold the families' chances beside the shares of faults seen at repair events.

Source: Open Repair Data, Open Repair Alliance, CC BY-SA 4.0; `packs/data/open-repair` says what was derived.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from math import sqrt
from pathlib import Path

import pytest

from powergood.packs import builtin_pack
from powergood.packs.locate import BUILTIN

SHARES = Path(BUILTIN).parent / "open-repair"

DESKTOP_FACTOR = 3.0
"""Judgement: how far an area's share of an older family may be from that of younger machines."""


def rows(group: str) -> list[dict[str, str]]:
    """Return the rows of one group of machines."""
    with (SHARES / "shares.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["group"] == group]


def labelled(group: str) -> dict[str, float]:
    """Return each area's share of the labels that have an area."""
    counts: dict[str, float] = defaultdict(float)
    for row in rows(group):
        if row["area"]:
            counts[row["area"]] += float(row["labelled"])
    return {area: count / sum(counts.values()) for area, count in counts.items()}


def weighed(family: str, areas: set[str]) -> dict[str, float]:
    """Return each area's share of the relative weights in a family."""
    machine = builtin_pack().machine(family)
    area_of = {part.id: part.area for part in machine.parts}
    sums: dict[str, float] = defaultdict(float)
    for fault in machine.faults:
        area = area_of[fault.id.split(".")[0]]
        if fault.frequency and area in areas:
            sums[area] += fault.frequency.value
    return {area: value / sum(sums.values()) for area, value in sums.items()}


def test_each_share_and_its_interval_follow_from_its_counts() -> None:
    for row in [*rows("Laptop"), *rows("Desktop computer")]:
        k, n, z = float(row["labelled"]), float(row["machines"]), 1.959964
        middle, half = (k + z * z / 2) / (n + z * z), z * sqrt(k * (n - k) / n + z * z / 4) / (n + z * z)
        assert float(row["share"]) == pytest.approx(k / n, abs=1e-4)
        # Wilson's interval: NIST/SEMATECH e-Handbook 7.2.4.1.
        assert float(row["low"]) == pytest.approx(middle - half, abs=2e-4)
        assert float(row["high"]) == pytest.approx(middle + half, abs=2e-4)


def test_the_readme_tells_the_areas_shares_as_they_are() -> None:
    seen, told = labelled("Laptop"), (SHARES / "README.md").read_text(encoding="utf-8")
    set_to = weighed("pata-laptop", set(seen))
    lines = [line.split(" | ") for line in told.splitlines() if line.startswith("| ") and "0." in line]
    assert {line[0].strip("| ") for line in lines} == set(seen)
    for area, _, judged, data, result, _ in lines:
        name = area.strip("| ")
        assert float(data) == pytest.approx(seen[name], abs=0.001)
        assert float(result) == pytest.approx((float(judged) + float(data)) / 2, abs=0.001)
        assert set_to[name] == pytest.approx(float(result), abs=0.003)


def test_a_laptops_number_that_rests_on_the_shares_names_them_with_its_weight() -> None:
    machine = builtin_pack().machine("pata-laptop")
    area_of = {part.id: part.area for part in machine.parts}
    areas = set(labelled("Laptop"))
    for fault in machine.faults:
        if fault.frequency:
            rests = area_of[fault.id.split(".")[0]] in areas
            assert (fault.frequency.source == "S1") is rests, fault.id
            assert fault.frequency.weight == (16 if rests else 0), fault.id
    assert next(source for source in machine.sources if source.id == "S1").licence == "CC BY-SA 4.0"


def test_a_desktops_power_disk_and_heat_are_not_far_from_the_younger_ones() -> None:
    seen = labelled("Desktop computer")
    ours = weighed("at-atx-desktop", set(seen))
    for area in ("power", "storage", "cooling"):
        assert 1 / DESKTOP_FACTOR < ours[area] / seen[area] < DESKTOP_FACTOR, area


def test_licence_and_attribution_stand_beside_the_data() -> None:
    licence = (SHARES / "LICENSE").read_text(encoding="utf-8")
    for said in ("Open Repair Alliance", "creativecommons.org/licenses/by-sa/4.0", "Changes", "warranty"):
        assert said in licence
