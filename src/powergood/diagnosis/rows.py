"""The rows of the evidence as bit sets: bit n of each set stands for row n."""

from __future__ import annotations

from powergood.diagnosis.bench_now import place_of
from powergood.diagnosis.compiled import CompiledModel, Link
from powergood.diagnosis.evidence import Evidence


class RowSets:
    """Which rows rest on a base, which a slot's instance could act in, which came when."""

    def __init__(self, model: CompiledModel, evidence: Evidence) -> None:
        self.rows = evidence.rows
        self.everything = (1 << len(self.rows)) - 1
        self.sure_pass = sum(1 << place for place, row in enumerate(self.rows) if row.bit < 0)
        self.on_base = [0] * len(model.bases)
        self.signs = frozenset(number for number, base in enumerate(model.bases) if base.is_sign)
        self.starts: dict[int, int] = {}
        self.running = evidence.start
        self.lasting: dict[int, float] = {}
        for place, row in enumerate(self.rows):
            for base in row.bases:
                self.on_base[base] |= 1 << place
            self.starts[row.power_up] = self.starts.get(row.power_up, 0) | 1 << place
            self.lasting[row.power_up] = row.starts
        self._acting: dict[tuple[str, str], int] = {}
        self._masked: dict[str, int] = {}
        for place, row in enumerate(self.rows):
            for slot in row.masked:
                self._masked[slot] = self._masked.get(slot, 0) | 1 << place
        self._moved = frozenset(name for row in self.rows for pair in row.moved.items() for name in pair)

    def acting(self, home: str, instance: str) -> int:
        """Return the rows during which `instance`, first of slot `home`, sat in any slot unmasked.

        Those are all rows for a fault of no slot.
        """
        if not home:
            return self.everything
        if instance == home and home not in self._moved:
            return self.everything & ~self._masked.get(home, 0)
        key = (home, instance)
        if key not in self._acting:
            slots = [place_of(row.moved, instance, home) for row in self.rows]
            self._acting[key] = sum(
                1 << place
                for place, (row, slot) in enumerate(zip(self.rows, slots, strict=True))
                if slot and slot not in row.masked
            )
        return self._acting[key]

    def sees(self, link: Link, home: str, instance: str) -> int:
        """Return the rows that rest on a link of `instance`: on the share of the slot it sat in then."""
        if not link.elsewhere or (instance == home and home not in self._moved):
            return self.on_base[link.base]
        own = dict(link.elsewhere)
        seen = 0
        for place, row in enumerate(self.rows):
            if own.get(place_of(row.moved, instance, home), link.base) in row.bases:
                seen |= 1 << place
        return seen

    def before(self, time: int) -> int:
        """Return the rows seen before the fact at `time`."""
        return sum(1 << place for place, row in enumerate(self.rows) if row.time < time)

    def bits(self, rows: int) -> int:
        """Return the mask of recursion bits of the rows in `rows` that have one."""
        mask = 0
        while rows:
            lowest = rows & -rows
            bit = self.rows[lowest.bit_length() - 1].bit
            if bit >= 0:
                mask |= 1 << bit
            rows ^= lowest
        return mask
