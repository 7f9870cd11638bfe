"""Facts as lines of JSON, to be read by anything, in thirty years too."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import TextIO

from powergood.record.model import Fact
from powergood.store.tables import kind_name


def fact_object(fact: Fact) -> dict[str, object]:
    """Return a fact as values JSON knows: its envelope, the name of its kind, and the fields of its body."""
    draft = fact.draft
    return {
        "number": fact.number,
        "kind": kind_name(type(draft.body)),
        "job": draft.job,
        "machines": list(draft.machines),
        "who": draft.who,
        "seen_at": draft.seen_at,
        "written_at": fact.written_at,
        "power_up": draft.power_up,
        "fitted": list(draft.fitted),
        "prompted_by": draft.prompted_by,
        "digest": draft.digest,
        "key": draft.key,
        "body": {n: list(v) if isinstance(v, tuple) else v for n, v in asdict(draft.body).items()},
    }


def write_facts(facts: Iterable[Fact], out: TextIO) -> int:
    """Write each fact as one line of JSON, in the order given; return how many."""
    count = 0
    for fact in facts:
        out.write(json.dumps(fact_object(fact), ensure_ascii=False, allow_nan=False) + "\n")
        count += 1
    return count
