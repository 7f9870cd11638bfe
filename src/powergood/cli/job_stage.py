"""`powergood job stage`: readings at a stage of first power, that it is done, or why it was stopped."""

from __future__ import annotations

from pathlib import Path

import click

from powergood.cli.job_text import print_job
from powergood.cli.place import folder_option, json_option, opened, who_option
from powergood.cli.printing import print_json
from powergood.errors import BadInput

REST = "rest"
"""What stands for all the stages that are left, in place of a stage's id."""


@click.command()
@click.argument("number", type=int)
@click.argument("stage_id", metavar="STAGE")
@click.argument("readings", nargs=-1, metavar="[READING=VALUE]...")
@click.option("--meter", default="", help="Instrument, with its error if known, such as: 0.5 % + 2.")
@click.option("--no-check", is_flag=True, help="Keep the readings, but no outcome of the stage's check.")
@click.option("--done", is_flag=True, help="The stage is done, after the readings given.")
@click.option("--stop", "seen", default="", help="Stopped at this one of the stop list, or at these words.")
@click.option("--text", default="", help="How it was done, or more about why it was stopped.")
@folder_option
@who_option
@json_option
def stage(
    number: int,
    stage_id: str,
    readings: tuple[str, ...],
    meter: str,
    no_check: bool,
    done: bool,
    seen: str,
    text: str,
    folder: Path,
    who: str,
    as_json: bool,
) -> None:
    """Write down readings at STAGE of bring-up of job NUMBER, that it is done, or why it was stopped.

    READINGS are READING=VALUE, such as five="5.02 V"; `job show` names them. `rest --done --text WHY` lets
    all stages go that are left, of a machine that has run already.
    """
    # Deferred: the engine takes a third of a second to load, which the help must not wait for.
    from powergood import bench

    if not (readings or done or seen) or (done and seen):
        raise BadInput(
            "Give readings as READING=VALUE, or one of --done and --stop. Nothing was written down."
        )
    broken = [each for each in readings if not all(each.partition("="))]
    if broken:
        raise BadInput(f"Write readings as READING=VALUE, such as five=5.02V; not: {', '.join(broken)}.")
    texts = dict(each.partition("=")[::2] for each in readings)
    with opened(folder) as workshop:
        view = bench.job(workshop, number)
        if texts:
            key = workshop.new_key()
            view = bench.note_readings(
                workshop, number, stage_id, texts, instrument=meter, with_check=not no_check, key=key, who=who
            )
        if done and stage_id == REST:
            view = bench.let_stages_go(workshop, number, text, key=workshop.new_key(), who=who)
        elif done:
            view = bench.finish_stage(workshop, number, stage_id, text, key=workshop.new_key(), who=who)
        if seen:
            known = {item.id for card in view.first_power.stages for item in card.stop_if}
            said = text if seen in known else " ".join(filter(None, (seen, text)))
            view = bench.stop_stage(workshop, number, stage_id, seen, said, key=workshop.new_key(), who=who)
    if as_json:
        print_json(view)
    else:
        print_job(view)
