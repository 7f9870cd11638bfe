"""What a machine's page is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from powergood.bench.card_views import JobCard, MachineCard
from powergood.bench.intake_views import IntakeLine, WantedFunction
from powergood.bench.record_views import Photo, RecordLine
from powergood.bench.stage_views import EditionLine


@dataclass(frozen=True, slots=True)
class CellLine:
    """A battery or cell that this kind of machine carries.

    cell : its id.
    title : its name in words.
    kind : its type.
    place : where it sits.
    polarity : which way round.
    """

    cell: str
    title: str
    kind: str
    place: str
    polarity: str = ""


@dataclass(frozen=True, slots=True)
class MachineView:
    """A machine's page.

    card : the machine in brief.
    story : the giver's story.
    came_with : what came with it.
    intake : the family's take-in questions with their answers.
    cells : the batteries and cells it carries by its sheet.
    functions : the functions a new job can ask for.
    photos : its photos, oldest first.
    jobs : its jobs, latest first.
    record : all facts about it, oldest first.
    weak_points : what this model is known for, one sentence each.
    boot_routes : ways it can start a system.
    editions : the editions of a standard that its supply may follow; none for most kinds.
    edition : the one that its limits at first power come from; none where the family's own hold.
    edition_said : true when that was said of this machine, and does not come from its sheet.
    kind_trouble : a sentence when its sheet is not in the pack; the record is shown all the same.
    """

    card: MachineCard
    story: str
    came_with: str
    intake: tuple[IntakeLine, ...]
    cells: tuple[CellLine, ...]
    functions: tuple[WantedFunction, ...]
    photos: tuple[Photo, ...]
    jobs: tuple[JobCard, ...]
    record: tuple[RecordLine, ...]
    weak_points: tuple[str, ...] = ()
    boot_routes: tuple[str, ...] = ()
    kind_trouble: str = ""
    editions: tuple[EditionLine, ...] = ()
    edition: EditionLine | None = None
    edition_said: bool = False
