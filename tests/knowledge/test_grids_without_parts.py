"""What is left of a grid in a machine that lacks what its cells or its extents are about."""

from __future__ import annotations

from powergood.knowledge import (
    Area,
    Check,
    Claim,
    Complaint,
    Extent,
    Family,
    Fault,
    Fix,
    Function,
    Grid,
    MachineModel,
    ModelSheet,
    Part,
    Rung,
    Subsystem,
    ToldFinding,
    compose,
)

SOME = Claim(0.1, "judgement")
BANKS = Grid(
    (Extent("all", "some", "All bad"), Extent("one", "whole", "Some bad")),
    copies_of="memory",
    before=(Rung("runs", "It does not run"),),
)
BOARD = Subsystem(
    1,
    "board",
    "Board",
    "a",
    parts=(Part("memory", "Memory", "a", copies=4), Part("chip", "Chip", "a")),
    functions=(
        Function("runs", "Runs", "a"),
        Function("some", "Some memory", "a", ("runs",), of=("chip",)),
        Function("whole", "All memory", "a", ("runs",)),
    ),
    faults=(
        Fault("memory.bad", "Bad", {"whole": SOME}, chance=SOME),
        Fault("chip.bad", "Bad", {"some": SOME, "whole": SOME}, chance=SOME),
    ),
    checks=(Check("test", "Test", SOME, SOME, "start", grid=BANKS, all_good="Fine"),),
    fixes=(
        Fix("new-memory", "New", "replace", SOME, replaces="memory"),
        Fix("new-chip", "New", "replace", SOME, replaces="chip"),
    ),
)
COMPLAINTS = (
    Complaint("all-bad", "All bad", findings=(ToldFinding("test", "all"),)),
    Complaint("some-bad", "Some bad", findings=(ToldFinding("test", "one"), ToldFinding("test", "whole"))),
)
FAMILY = Family(
    1,
    "f",
    "F",
    "1980",
    SOME,
    ("board",),
    (Area("a", "A", SOME, "New", SOME, SOME),),
    (),
    complaints=COMPLAINTS,
)


def machine(**copies: int) -> MachineModel:
    made = compose(FAMILY, [BOARD], ModelSheet(1, "s", "S", "f", copies=copies))
    assert isinstance(made, MachineModel), made
    return made


def test_a_grid_of_copies_follows_how_many_there_are() -> None:
    (check,) = machine(memory=2).checks
    assert check.grid == BANKS


def test_without_any_copy_it_is_a_ladder_of_the_same_functions() -> None:
    made = machine(memory=0)
    (check,) = made.checks
    assert check.grid is None
    assert [rung.of for rung in check.rungs] == ["runs", "some", "whole"]
    assert [(c.id, [f.outcome for f in c.findings]) for c in made.complaints] == [("some-bad", ["whole"])]


def test_an_extent_whose_function_is_gone_is_left_out_with_the_complaint_about_it() -> None:
    made = machine(chip=0)
    (check,) = made.checks
    assert check.grid
    assert [extent.extent for extent in check.grid.extents] == ["one"]
    assert [complaint.id for complaint in made.complaints] == ["some-bad"]
