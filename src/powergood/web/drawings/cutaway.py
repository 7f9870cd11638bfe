"""The cutaway: a section drawing through the machine, one layer per opening, parts as equal tiles.

All lengths are in the drawing's own units; 400 of them span its width, so that one unit is about one
pixel on a phone. Covers that are open stand lifted on their left edge; a line runs in the left margin
from where you are, through the covers still to be opened, to the part the next step is about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from powergood.bench.cutaway_views import Cutaway, CutawayLayer, CutawayPart
from powergood.web.drawings.lines import broken
from powergood.web.drawings.strength import strength_step, strength_word

WIDTH: Final = 400
_MARGIN: Final = 26  # the gutter for the line
_WALL: Final = 7
_LEFT: Final = _MARGIN + _WALL
_RIGHT: Final = WIDTH - 1 - _WALL
_IN_A_ROW: Final = 3
_GAP: Final = 6
_TILE_W: Final = (_RIGHT - _LEFT - (_IN_A_ROW + 1) * _GAP) / _IN_A_ROW
_TILE_H: Final = 52
_ROW_H: Final = _TILE_H + 15
_PLATE_H: Final = 26
_LIFT: Final = 22
_LETTERS: Final = 14  # letters of a title that fit across a tile
_LINE_X: Final = 12


@dataclass(frozen=True, slots=True)
class Tile:
    """One part as drawn: its corner, its lines of text, its standing as word and mark.

    x, y : its upper left corner.
    lines : its title, broken.
    standing : suspect, cleared, proven or unknown.
    step : strength of suspicion, 1 to 4; 0 when it is no suspect.
    word : its standing in words.
    fitted : false when it is out; it is then drawn raised and dashed.
    goal : true when the next step is about it.
    """

    x: float
    y: float
    lines: tuple[str, ...]
    standing: str
    step: int
    word: str
    fitted: bool
    goal: bool


@dataclass(frozen=True, slots=True)
class Plate:
    """One cover as drawn.

    y : top of its seat.
    title : what it is, cut to fit.
    aside : how long it takes, or that it is open.
    lifted : true when it is open.
    on_route : true when the way to the next step goes through it.
    """

    y: float
    title: str
    aside: str
    lifted: bool
    on_route: bool


@dataclass(frozen=True, slots=True)
class Section:
    """The whole drawing.

    height : in units; its width is 400.
    case_top : where the case begins; above it is the outside.
    plates, tiles, shelves : what is drawn; a shelf is the height of a line that a row of tiles stands on.
    you : height of the mark for where you are: at the cover of the innermost open layer.
    you_above : true when its word stands above it, since the line leaves downwards.
    line : path of the line to the next step; empty when there is none.
    outside_y : height of the caption of the outside; 0 when nothing lies there.
    """

    height: float
    case_top: float
    plates: tuple[Plate, ...]
    tiles: tuple[Tile, ...]
    shelves: tuple[float, ...]
    you: float
    you_above: bool
    line: str
    outside_y: float
    tile_w: float = _TILE_W
    tile_h: float = _TILE_H
    plate_h: float = _PLATE_H
    left: float = _LEFT
    right: float = _RIGHT
    wall: float = _WALL
    width: float = WIDTH


def section(cutaway: Cutaway, said: Callable[[CutawayPart], str] | None = None) -> Section:
    """Return the drawing of a cutaway, outermost layer at the top; `said` gives each tile's word instead."""
    y = 6.0
    plates: list[Plate] = []
    tiles: list[Tile] = []
    shelves: list[float] = []
    case_top = you = outside_y = 0.0
    for layer in _outermost_first(cutaway.layers):
        cover = y
        if layer.opening:
            case_top = case_top or y + (_LIFT if layer.open else 0)
            y += _LIFT if layer.open else 2
            plates.append(_plate(layer, y))
            cover = y + _PLATE_H / 2
            y += _PLATE_H + 13
        else:
            outside_y = y + 14
            cover = y + 20
            y += 26
        if layer.open or not you:
            you = cover
        placed, y = _rows(layer.parts, y, said or _word)
        tiles += placed
        shelves += sorted({tile.y + _TILE_H + (0 if tile.fitted else 6) + 5 for tile in placed})
    case_top = case_top or y
    line = _line(tiles, you)
    above = all(tile.y > you for tile in tiles if tile.goal)
    return Section(
        y + _WALL + 4, case_top, tuple(plates), tuple(tiles), tuple(shelves), you, above, line, outside_y
    )


def _outermost_first(layers: Iterable[CutawayLayer]) -> list[CutawayLayer]:
    return sorted(layers, key=lambda layer: (bool(layer.opening), layer.layer))


def _plate(layer: CutawayLayer, y: float) -> Plate:
    aside = "open" if layer.open else (f"{layer.minutes:.0f} min" if layer.minutes else "closed")
    (title,) = broken(layer.title, 31, 1)
    return Plate(y, title, aside, layer.open, layer.on_route and not layer.open)


def _rows(
    parts: tuple[CutawayPart, ...], y: float, said: Callable[[CutawayPart], str]
) -> tuple[list[Tile], float]:
    """Return the tiles of a layer in rows from `y` down, and where the next layer begins."""
    tiles = []
    for place, part in enumerate(parts):
        row, column = divmod(place, _IN_A_ROW)
        x = _LEFT + _GAP + column * (_TILE_W + _GAP)
        tiles.append(_tile(part, x, y + row * _ROW_H, said(part)))
    rows = -(-len(parts) // _IN_A_ROW)
    return tiles, y + rows * _ROW_H


def _word(part: CutawayPart) -> str:
    return strength_word(part.strength) if part.standing == "suspect" else _WORDS[part.standing]


def _tile(part: CutawayPart, x: float, y: float, word: str) -> Tile:
    suspect = part.standing == "suspect"
    return Tile(
        x=x,
        y=y if part.fitted else y - 6,
        lines=broken(part.title, _LETTERS),
        standing=part.standing,
        step=strength_step(part.strength) if suspect else 0,
        word=word if part.fitted else "out",
        fitted=part.fitted,
        goal=part.goal,
    )


_WORDS: Final = {"cleared": "cleared", "proven": "proven", "unknown": "not known"}


def _line(tiles: list[Tile], you: float) -> str:
    """Return the path from the mark to each goal: down the margin, along a gap, into the tile's top."""
    paths = []
    for tile in tiles:
        if tile.goal:
            middle = tile.x + _TILE_W / 2
            paths.append(f"M{_LINE_X} {you:.0f}V{tile.y - 7:.0f}H{middle:.0f}V{tile.y - 2:.0f}")
    return "".join(paths)
