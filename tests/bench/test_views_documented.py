"""The views are plain, frozen and wholly documented."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re

import pytest

import powergood.bench
from powergood.bench import pairs
from powergood.bench.knowhow import views as know_views
from powergood.bench.modelsheets import views as sheet_views

OF_THE_BENCH = [
    importlib.import_module(f"powergood.bench.{each.name}")
    for each in pkgutil.iter_modules(powergood.bench.__path__)
    if each.name.endswith("_views")
]

CLASSES = [
    value
    for module in (*OF_THE_BENCH, pairs, know_views, sheet_views)
    for _, value in inspect.getmembers(module, inspect.isclass)
    if value.__module__ == module.__name__ and dataclasses.is_dataclass(value)
]


def documented(view: type) -> list[str]:
    """Return the names that a docstring explains, one to a line as `name : meaning`."""
    return re.findall(r"^    (\w+) : \S", view.__doc__ or "", re.MULTILINE)


@pytest.mark.parametrize("view", CLASSES, ids=lambda view: view.__name__)
def test_every_field_of_a_view_is_explained_in_its_docstring_in_any_order_and_nothing_else_is(
    view: type,
) -> None:
    assert sorted(documented(view)) == sorted(each.name for each in dataclasses.fields(view))


@pytest.mark.parametrize("view", CLASSES, ids=lambda view: view.__name__)
def test_a_view_is_frozen_and_slotted(view: type) -> None:
    assert view.__dataclass_params__.frozen  # type: ignore[attr-defined]
    assert "__slots__" in vars(view)


def test_there_are_views_to_look_at() -> None:
    assert {"JobView", "BoardView", "MachineView", "Pad", "Cutaway", "Ribbon"} <= {
        v.__name__ for v in CLASSES
    }
