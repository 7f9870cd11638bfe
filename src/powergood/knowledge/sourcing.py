"""Does every number of a machine, and every caution, name a source that there is?"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from powergood.knowledge.assembly import Assembly
from powergood.knowledge.model import Claim
from powergood.knowledge.problems import Problem, Where, did_you_mean, error

UNSOURCED = ("judgement", "common practice")
"""Sources that need no entry in `sources.yaml`."""


def unknown_sources(assembly: Assembly, kinds: Iterable[str], lost: frozenset[str]) -> Iterator[Problem]:
    """Yield a problem for each source that is named, by a caution or a number of these kinds, and unknown."""
    known = {*assembly.sources, *UNSOURCED}
    for caution in assembly.cautions.values():
        if caution.item.source not in known | lost:
            yield _no_source(caution.item.source, known, caution.where.at("source"))
    for claim, of, path in _claims(assembly, kinds):
        if claim.source not in known and claim.source not in lost:
            yield _no_source(claim.source, known, of.at(*path))


def _no_source(name: str, known: set[str], where: Where) -> Problem:
    message = f"there is no source `{name}`{did_you_mean(name, known)}"
    return error("known-source", f"{message}{'' if '?' in message else '; or write `judgement`'}", where)


def _claims(assembly: Assembly, kinds: Iterable[str]) -> Iterator[tuple[Claim, Where, tuple[str, ...]]]:
    """Yield every number of the machine, with the place of its item and the way on from there."""
    for kind in kinds:
        for placed in assembly.kind(kind).values():
            for claim, path in _claims_in(placed.item):
                yield claim, placed.where, path
    yield assembly.family.expected_faults, Where("family", assembly.family.id), ("expected_faults",)


def _claims_in(item: Any) -> Iterator[tuple[Claim, tuple[str, ...]]]:
    for field in dataclasses.fields(item):
        value = getattr(item, field.name)
        if isinstance(value, Claim):
            yield value, (field.name,)
        elif isinstance(value, Mapping):
            for name, inner in value.items():
                if isinstance(inner, Claim):
                    yield inner, (field.name, name)
        elif field.name == "limits":
            for limit in value:
                for inner, path in _claims_in(limit):
                    yield inner, (field.name, limit.id, *path)
