"""Functions that the copies of a part answer for, split so that where a bad cell lies says which copy.

A function (or sign) that a grid tries copy by copy becomes one of its own for each copy, and the whole needs
them all. A fault of copy k is linked to copy k's share alone, as strongly as before. A fault of anything else
may spoil any copy's share: with chance s each, independently, where s is such that the chance to spoil at
least one stays what it was, 1 − (1 − s)**n = q. So every other check of that function is told just what it
was told before, and the extent of the pattern has the chance that the pack states.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeAlias

from powergood.diagnosis.compiled import BaseSpec, Link

Shares: TypeAlias = Mapping[int, Mapping[str, int]]
"""For each split base the base that stands for each slot's share of it."""


def split_by_copy(
    bases: tuple[BaseSpec, ...], splits: Mapping[str, str], slots: Mapping[str, tuple[str, ...]]
) -> tuple[tuple[BaseSpec, ...], Shares]:
    """Return the bases with those in `splits` (base id to part) split, the shares last; and the shares.

    A share needs what the whole needed; the whole then needs its shares.
    """
    found = list(bases)
    shares: dict[int, dict[str, int]] = {}
    for index, base in enumerate(bases):
        if base.id not in splits:
            continue
        own: dict[str, int] = {}
        for number, slot in enumerate(slots[splits[base.id]], start=1):
            own[slot] = len(found)
            found.append(
                replace(
                    base,
                    id=f"{base.id}@{number}",
                    title=f"{base.title} ({number})",
                    of=frozenset(),
                    wanted=False,
                )
            )
        found[index] = replace(base, needs=tuple(own.values()), either=())
        shares[index] = own
    return tuple(found), shares


def links_to(base: int, strength: float, slot: str, shares: Shares) -> Iterator[Link]:
    """Yield the links of a fault in `slot` to a base: to its own copy's share, or to every share a little."""
    own = shares.get(base)
    if own is None:
        yield Link(base, strength)
    elif slot in own:
        yield Link(own[slot], strength, tuple(own.items()))
    else:
        each = 1.0 - (1.0 - strength) ** (1.0 / len(own))
        for share in own.values():
            yield Link(share, each)
