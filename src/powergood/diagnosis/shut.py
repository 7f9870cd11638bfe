"""Which openings are closed again before a machine is powered.

A cover off does not keep a bench machine from being started. What lies deeper, where parts are unplugged or
out, does; so does every opening that lays bare what can kill. Only a look that itself needs such a place
open, and has its cautions and conditions for it, is taken with it open.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from powergood.diagnosis.compiled import OpeningSpec


def to_shut(
    asked: Collection[str], openings: Mapping[str, OpeningSpec], deadly: Collection[str]
) -> frozenset[str]:
    """Return the openings that must be closed for a powered look that needs those in `asked` open.

    That is every opening behind another, and every one with a caution in `deadly`, of what can kill; but for
    the way to what is asked.
    """
    known = frozenset(name for name in asked if name in openings)
    needed = known.union(*(openings[name].behind for name in known))
    shut = {name for name, spec in openings.items() if spec.behind or set(deadly) & set(spec.cautions)}
    return frozenset(shut - needed)
