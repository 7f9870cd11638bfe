"""The drawings: cutaway, ribbon, and the words and figures beside them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from powergood.bench.cutaway_views import Cutaway, CutawayLayer, CutawayPart
from powergood.bench.ribbon_views import Ribbon, RibbonBand, RibbonPoint
from powergood.web import phrases
from powergood.web.drawings.cutaway import section
from powergood.web.drawings.lines import broken
from powergood.web.drawings.ribbon import chart
from powergood.web.drawings.strength import strength_step, strength_word

OUTSIDE = CutawayLayer("", "Outside", 0, True, parts=(CutawayPart("adapter", "Adapter", "cleared"),))
LID = CutawayLayer(
    "bezel",
    "Lid bezel",
    1,
    False,
    minutes=7,
    on_route=True,
    parts=tuple(
        CutawayPart(f"p{n}", f"Part {n}", "suspect", strength=n / 5, goal=n == 4) for n in range(1, 6)
    ),
)
BOTTOM = CutawayLayer("bottom", "Bottom case", 2, False, parts=(CutawayPart("board", "Board", "unknown"),))
MACHINE = Cutaway((OUTSIDE, BOTTOM, LID))


def test_layers_are_drawn_outermost_first_whatever_order_they_come_in():
    drawn = section(MACHINE)
    assert [plate.title for plate in drawn.plates] == ["Lid bezel", "Bottom case"]
    assert drawn.plates[0].y < drawn.plates[1].y


def test_every_tile_lies_inside_the_case_and_none_lies_on_another():
    drawn = section(MACHINE)
    corners = {(tile.x, tile.y) for tile in drawn.tiles}
    assert len(corners) == 7
    for tile in drawn.tiles:
        assert drawn.left <= tile.x <= tile.x + drawn.tile_w <= drawn.right
        assert tile.y + drawn.tile_h <= drawn.height
        for other in drawn.tiles:
            apart_x = abs(tile.x - other.x) >= drawn.tile_w
            assert other is tile or apart_x or abs(tile.y - other.y) >= drawn.tile_h


def test_an_open_layer_is_drawn_lifted_and_you_stand_at_it():
    before = section(MACHINE)
    drawn = section(Cutaway((OUTSIDE, replace(LID, open=True), BOTTOM)))
    lid = drawn.plates[0]
    assert lid.lifted
    assert lid.aside == "open"
    assert not lid.on_route
    assert lid.y > before.plates[0].y  # room above it to be lifted into
    assert lid.y <= drawn.you <= lid.y + drawn.plate_h
    assert before.you < before.plates[0].y  # with nothing open you are outside


def test_the_line_runs_from_you_to_the_top_of_the_next_steps_part():
    drawn = section(MACHINE)
    (goal,) = (tile for tile in drawn.tiles if tile.goal)
    assert drawn.line.startswith(f"M12 {drawn.you:.0f}V")
    assert drawn.line.endswith(f"H{goal.x + drawn.tile_w / 2:.0f}V{goal.y - 2:.0f}")
    assert drawn.you_above
    assert section(Cutaway((OUTSIDE, BOTTOM))).line == ""


def test_a_part_that_is_out_is_raised_and_says_so():
    layer = CutawayLayer("b", "B", 1, True, parts=(CutawayPart("x", "X", "suspect", 0.5, fitted=False),))
    (tile,) = section(Cutaway((layer,))).tiles
    (fitted,) = section(Cutaway((replace(layer, parts=(replace(layer.parts[0], fitted=True),)),))).tiles
    assert tile.word == "out"
    assert tile.y < fitted.y


def test_a_machine_without_layers_is_an_empty_drawing_not_an_error():
    assert section(Cutaway(())).tiles == ()


@pytest.mark.parametrize(
    ("chance", "step"), [(0.0, 1), (0.099, 1), (0.1, 2), (0.3, 3), (0.599, 3), (0.6, 4), (1.0, 4)]
)
def test_suspicion_has_four_steps_and_each_its_own_word(chance, step):
    assert strength_step(chance) == step
    words = [strength_word(each) for each in (0.0, 0.1, 0.3, 0.6)]
    assert words.index(strength_word(chance)) == step - 1


def _ribbon(*chances: float) -> Ribbon:
    points = tuple(RibbonPoint(n, f"fact {n}") for n in range(len(chances)))
    return Ribbon(points, (RibbonBand("a.b", "Fault", chances),))


def test_a_ribbon_is_as_thick_as_its_fault_is_likely():
    drawn = chart(_ribbon(0.5, 1.0))
    assert drawn
    numbers = [float(word) for word in drawn.lanes[0].path.translate(str.maketrans("MCLZ", "    ")).split()]
    heights = numbers[1::2]
    at_end = max(heights) - min(heights)
    start = 2 * abs(numbers[1] - drawn.lanes[0].base)
    assert start == pytest.approx(at_end / 2, abs=0.2)
    assert drawn.lanes[0].ends == "over 99 in 100"


def test_labels_of_the_axis_never_stand_on_one_another():
    drawn = chart(_ribbon(*[0.1 + n / 100 for n in range(60)]))
    assert drawn
    xs = [tick.x for tick in drawn.ticks]
    assert all(right - left >= 34 for left, right in pairwise(xs))
    assert (drawn.ticks[0].label, drawn.ticks[-1].label) == ("start", "59")


def test_one_moment_alone_is_no_chart():
    assert chart(_ribbon(0.5)) is None
    assert chart(Ribbon()) is None


def test_titles_are_broken_to_fit_and_cut_with_an_ellipsis():
    assert broken("Standby battery under the palm rest", 14) == ("Standby", "battery under…")
    assert broken("", 14) == ("",)
    assert all(len(line) <= 14 for line in broken("x" * 60, 14))


def test_a_time_that_is_none_is_shown_as_it_is():
    assert phrases.day_and_time("some evening") == "some evening"
    assert phrases.day("2026-11-25T12:00:00Z").endswith("Nov 2026")


def test_lists_read_as_sentences():
    assert phrases.listed(["a", "b", "c"]) == "a, b and c"
    assert phrases.listed([]) == ""
