"""How answers are printed: as JSON for programs, as short lines for people."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

import click

from powergood.units import in_100

if TYPE_CHECKING:
    from powergood.bench.job_views import Beside
    from powergood.bench.step_views import Leaning, StepCard

BESIDE = "Likely, but not in the way of what is wanted"


def plain(value: Any) -> Any:
    """Return frozen objects as what JSON knows: objects, lists, text, numbers; sets are sorted.

    A field that is only where a link leads (`link_only` in its metadata) is left out: it is never text.
    """
    if is_dataclass(value) and not isinstance(value, type):
        shown = (each.name for each in fields(value) if not each.metadata.get("link_only"))
        return {name: plain(getattr(value, name)) for name in shown}
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(plain(each) for each in value)
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return value


def print_json(value: Any) -> None:
    """Print an answer as one JSON text."""
    click.echo(json.dumps(plain(value), indent=2, ensure_ascii=False))


def table(rows: Iterable[tuple[str, ...]]) -> str:
    """Return rows as columns with two spaces between."""
    kept = [tuple(row) for row in rows]
    widths = [max(len(row[column]) for row in kept) for column in range(len(kept[0]))] if kept else []
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in kept
    )


def heading(text: str) -> str:
    """Return a heading with a free line before it."""
    return f"\n{text}"


def leanings(found: Iterable[Leaning]) -> str:
    """Return suspects as lines with their chances."""
    return table((f"  {each.title}", in_100(each.chance), each.name) for each in found)


def besides(found: Iterable[Beside]) -> str:
    """Return faults that nothing wanted hangs on as lines with their chances and what would mend each."""
    return table((f"  {each.title}", in_100(each.chance), each.fault, each.do) for each in found)


def step_lines(card: StepCard) -> Iterable[str]:
    """Return one step as lines: cautions first, then what to do, what it takes and its outcomes."""
    for caution in card.cautions:
        yield f"  {'Danger' if caution.danger else 'Caution'}: {caution.title}. {caution.words}"
    yield f"  {card.ask}  [{card.step}]"
    takes = [f"{card.minutes:.0f} min"]
    takes += [f"{card.elapsed:.0f} min waiting"] if card.elapsed else []
    takes += [f"{card.money:.0f} in money"] if card.money else []
    takes += [f"opens {', '.join(card.opens).lower()}"] if card.opens else []
    takes += [f"needs {', '.join(card.tools)}"] if card.tools else []
    yield f"  {'; '.join(takes)}"
    if card.why:
        yield f"  Why: {card.why}"
    for words in card.against:
        yield f"  {words}"
    for key in card.keys:
        chance = f" ({in_100(key.chance)})" if key.chance else ""
        yield f"    {key.outcome}: {key.words}{chance}"
    if card.grid:
        yield f"    cells:NAME,NAME names each bad {card.grid.cell}, of these:"
        for row in card.grid.rows:
            yield f"      {'  '.join(cell.name for cell in row if cell)}"
