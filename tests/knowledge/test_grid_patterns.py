"""What marked cells make up: the worst pattern, and in words where it lies."""

import pytest

from powergood.knowledge import Extent, Grid, Line
from powergood.knowledge.grids import lines_of, names_of, pattern, rows_of

KEYS = (("1", "2", "3", "4"), ("Q", "W", "E", "R"), ("A", "S", "", "D"))


def grid(*extents: str, rows: tuple[tuple[str, ...], ...] = KEYS, **fields: object) -> Grid:
    named = tuple(Extent(each, f"of-{each}", f"Seen: {each}") for each in (*extents, "one"))
    return Grid(named, rows, cell="key", **fields)  # type: ignore[arg-type]  # extents by name


WHOLE = grid("all", "line", "several")


@pytest.mark.parametrize(
    ("marked", "outcome", "words"),
    [
        ((), "good", "none"),
        (("W",), "one", "key W"),
        (("D", "1"), "one", "2 keys: 1, D"),
        (("1", "W", "D"), "several", "3 keys: 1, W, D"),
        (("Q", "W", "E", "R"), "line", "a line, row 2; 4 keys: Q, W, E, R"),
        (("Q", "W", "E"), "line", "a line, row 2; 3 keys: Q, W, E"),
        (("3", "E"), "line", "a line, column 3; 2 keys: 3, E"),
        (("2", "W", "S", "D"), "line", "a line, column 2; 4 keys: 2, W, S, D"),
        (names_of(WHOLE), "all", "all 11 keys"),
    ],
)
def test_the_worst_pattern_that_fits_is_the_outcome(marked, outcome, words) -> None:
    found = pattern(WHOLE, marked)
    assert (found.outcome, found.words) == (outcome, words)


def test_an_extent_the_grid_does_not_name_is_passed_over() -> None:
    everything = names_of(WHOLE)
    assert pattern(grid(), everything).outcome == "one"
    assert pattern(grid("several"), everything).outcome == "several"
    assert pattern(grid("several"), ("Q", "W", "E", "R")).outcome == "several"
    assert pattern(grid("line"), everything).outcome == "line"


def test_lines_of_its_own_take_the_place_of_rows_and_columns() -> None:
    """The lines of a key matrix need not lie as the keys do."""
    half = grid("line", "several", lines=(Line("left half of the top rows", ("1", "2", "Q", "W")),))
    assert pattern(half, ("1", "Q", "W")).words.startswith("a line, left half of the top rows")
    assert pattern(half, ("Q", "W", "E", "R")).outcome == "several"


def test_a_row_of_ports_has_no_line() -> None:
    ports = grid("several", rows=(("printer", "serial 1", "serial 2", "network"),))
    assert lines_of(ports) == ()
    assert pattern(ports, names_of(ports)).outcome == "several"


def test_a_grid_of_copies_has_a_cell_for_each_copy_with_the_parts_title() -> None:
    banks = Grid((Extent("all", "a", "All"), Extent("one", "b", "One")), copies_of="memory", cell="bank")
    ((first, second, third),) = rows_of(banks, 3, "Memory bank")
    assert first
    assert second
    assert third
    assert (first.name, third.name, second.words) == ("1", "3", "Memory bank 2")
    assert pattern(banks, ("2",), 3).outcome == "one"
    assert pattern(banks, ("2", "3", "1"), 3).outcome == "all"
    assert pattern(banks, ("4",), 3).outcome == "good"


def test_gaps_are_no_cells_and_unknown_names_mark_nothing() -> None:
    assert names_of(WHOLE) == ("1", "2", "3", "4", "Q", "W", "E", "R", "A", "S", "D")
    assert rows_of(WHOLE)[2][2] is None
    assert pattern(WHOLE, ("", "nowhere")).outcome == "good"
