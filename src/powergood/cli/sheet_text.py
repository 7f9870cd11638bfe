"""A model sheet, and what taking one in would change, as lines of plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from powergood.bench.modelsheets.views import ChangeLine, ComparedSheet, OpeningLine, SheetView


def sheet_lines(view: SheetView) -> Iterator[str]:
    """Yield a sheet as a person reads it: what it is, ways in, slots, cells, and what differs."""
    of = [view.make, str(view.year or ""), f"family {view.family.name}", "own sheet" if view.own else ""]
    yield f"{view.title}  [{view.sheet}]"
    yield ", ".join(word for word in of if word)
    yield from _wrapped([view.note] if view.note else [])
    yield from _section("Ways in", (line for each in view.openings for line in _opening(each)))
    slots = [slot for slot in view.slots if slot.copies != slot.usual]
    yield from _section(
        "Slots other than the family's",
        (f"{slot.title}: {slot.copies or 'none'} (family: {slot.usual or 'none'})" for slot in slots),
    )
    yield from _section(
        "Batteries and cells",
        (
            f"{cell.title}: {cell.kind}; {cell.place}" + (f"; {cell.polarity}" if cell.polarity else "")
            for cell in view.cells
        ),
    )
    yield from _section("Ways to start a system", view.boot_routes)
    yield from _section("Weak points", view.weak_points)
    if view.edition:
        yield from _section("Edition of the standard", [f"{view.edition.title}: {view.edition.told_by}"])
    yield from _section(
        "Limits at first power other than the family's",
        (
            f"{row.stage}, {row.title}: {row.limits} (family: {row.family or 'none'}); {row.edition}"
            for row in view.limits
            if row.own or row.limits != row.family
        ),
    )
    yield from _section("Take care", view.doubts)
    yield from _section("Healthy readings", (f"{line.what}: {line.reading}" for line in view.healthy))
    yield from _section(
        "In place of the family's",
        change_lines(line for line in view.overrides if not line.what.startswith("copies, ")),
    )
    yield from _section(
        "Sources of its own",
        (f"{source.source}: {source.title}" for source in view.sources),
    )


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    found = list(lines)
    if found:
        yield f"\n{title}"
        yield from _wrapped(found)


def _wrapped(lines: Iterable[str]) -> Iterator[str]:
    yield from (f"  {line}" for line in lines)


def _opening(each: OpeningLine) -> Iterator[str]:
    behind = f", behind {' and '.join(each.behind).lower()}" if each.behind else ""
    minutes = f"{each.minutes:g} min to open, {each.refit:g} min to close"
    yield f"{each.title}{behind}: {minutes} ({each.source.source})"
    for fastener in each.fasteners:
        yield f"    {fastener}"


def change_lines(lines: Iterable[ChangeLine]) -> Iterator[str]:
    """Yield each change as `what: before -> after`."""
    for line in lines:
        yield f"{line.what}: {line.before or 'nothing'} -> {line.after or 'nothing'}"


def compared_lines(compared: ComparedSheet) -> Iterator[str]:
    """Yield what taking a file in would change."""
    yield f"{compared.title}  [{compared.sheet}], beside {compared.against}:"
    yield from _wrapped(change_lines(compared.changes) if compared.changes else ["no difference"])
    yield from (f"  warning: {words}" for words in compared.warnings)
