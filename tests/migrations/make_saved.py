"""Write the saved database of this release: `python tests/migrations/make_saved.py`, once, at a release.

It holds one fact of every kind, so that a migration that loses a column is seen.
"""

from __future__ import annotations

import gzip
import io
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image

from powergood import __version__
from powergood.record import BODY_KINDS, Body, Draft
from powergood.record import model as m
from powergood.store import Store, write_facts

SAVED = Path(__file__).parent / "saved"


def release_day() -> datetime:
    """Return the same moment whenever this is run."""
    return datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def bodies(photo: str) -> list[Body]:
    """Return one body of every kind, with no field left at its default."""
    return [
        m.Described("place", "shelf 3"),
        m.IntakeAnswer("kept damp", True),
        m.JobOpened("No picture", ("picture", "sound")),
        m.Pinned("abc123", "def456"),
        m.Complained("It's dark", "dark-panel", told=False),
        m.Finding("lamp", "no verdict", sure=False, told=True, copy=2, note="line 1\nline 2", cells=("Q",)),
        m.Reading("rail-5v", "4.87 V", 4.87, "V", "meter 2", "cold"),
        m.GateAnswered("cells-out", True, "both out"),
        m.Opened("hatch"),
        m.PartOut("disk", "disk"),
        m.PartIn("disk/2", "disk", "known-good"),
        m.FixDone("replace-disk", "disk", "disk/2", "tight"),
        m.Refitted("hatch"),
        m.CannotDo("scope-it", "no scope"),
        m.Note("Ω µ é"),
        m.PhotoTaken(photo, "lid"),
        m.WantedSet(("picture",)),
        m.Withdrawn(2, "not damp"),
        m.Shelved("a part", "inverter on order"),
        m.Resumed("part came"),
        m.SignedOff("sound not tried", ("sound",)),
        m.Stopped("board eaten"),
        m.TookMinutes(12.5, ("check:lamp", "opening:hatch")),
        m.PartFrom("disk/2", "a donor"),
        m.SetAside("fault:demo:disk.dead", "one odd winter"),
        m.PreferenceSet("worth", "80"),
    ]


def main() -> None:
    """Write the database and its facts beside this file, named after the release."""
    target = SAVED / f"{__version__}.sqlite.gz"
    if target.exists():
        sys.exit(f"{target} is there already: a saved database is never made again.")
    with tempfile.TemporaryDirectory() as work:
        with Store.create(Path(work) / "w", clock=release_day) as store:
            out = io.BytesIO()
            Image.new("RGB", (64, 48), "teal").save(out, "PNG")
            photo = store.put_photo(out.getvalue())
            store.append(
                [
                    Draft(
                        m.TakenIn("M-07", "Portable", "demo", 1999, "loft", "lead", "dusty", "shelf 2"),
                        "take",
                    ),
                    Draft(m.TakenIn("M-08", "Donor", "demo"), "take2"),
                ]
            )
            store.append(
                [
                    Draft(
                        body,
                        f"k{place}",
                        machines=("M-08", "M-07") if isinstance(body, m.PartIn) else ("M-07",),
                        who="Ida",
                        seen_at="2026-11-24T20:15:00Z",
                        power_up=place,
                        fitted=("disk", "lid") if place % 2 else (),
                        prompted_by="lamp",
                        digest="abc",
                    )
                    for place, body in enumerate(bodies(photo))
                ]
            )
            store.set_setting("hour_costs", "15")
            facts = store.facts()
        assert {type(fact.body) for fact in facts} == set(BODY_KINDS)
        data = (Path(work) / "w" / "workshop.sqlite").read_bytes()
    SAVED.mkdir(exist_ok=True)
    target.write_bytes(gzip.compress(data, mtime=0))
    with (SAVED / f"{__version__}.jsonl").open("w", encoding="utf-8", newline="\n") as lines:
        write_facts(facts, lines)


if __name__ == "__main__":
    main()
