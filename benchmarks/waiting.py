"""How long a person waits: for advice on a machine of any size, and from a tap to the next card."""

from __future__ import annotations

import time
from functools import cache

from families import unlooked
from generated import Said, line_of, machine
from posting import request_to_card
from repairs import ours, repair, truths

from powergood.diagnosis import Preferences, advise, compile_model
from powergood.diagnosis.compiled import CompiledModel
from powergood.packs import builtin_pack
from powergood.record.model import Body, Complained, Finding, GateAnswered, JobOpened

COMPLAINTS = ("dead", "dark-picture", "fan-no-picture", "beeps", "no-system", "no-keys")

Taken = list[float]


@cache
def laptop() -> tuple[CompiledModel, list[list[Body]]]:
    """Return the shipped laptop family and the starts of six jobs, safety conditions met without a look."""
    model = compile_model(unlooked(builtin_pack().machine("pata-laptop")), year=1998)
    gates = [GateAnswered(gate.id, True) for gate in model.gates]
    return model, [[JobOpened("x"), *gates, Complained("", complaint)] for complaint in COMPLAINTS]


def shipped(family: str, complaint: str) -> tuple[CompiledModel, list[Body]]:
    """Return another shipped family and the start of a job with one complaint, every tick set blindly."""
    model = compile_model(unlooked(builtin_pack().machine(family)), year=1994)
    gates = [GateAnswered(gate.id, True) for gate in model.gates]
    return model, [JobOpened("x"), *gates, Complained("", complaint)]


def size_of(model: CompiledModel) -> str:
    """Return the size of a machine in words."""
    return f"{len(model.faults)} faults, {len(model.checks)} checks, {len(model.openings)} openings"


def timed(model: CompiledModel, said: list[Said]) -> float:
    """Return the milliseconds of one advice."""
    start = time.perf_counter()
    advise(model, line_of(said))
    return 1e3 * (time.perf_counter() - start)


def on_generated(quick: bool) -> Taken:
    """Return times of advice for 80 faults, 80 checks and 20 openings, at different points of a job."""
    taken = []
    for seed in range(4 if quick else 40):
        model = machine(seed, openings=20)
        truth = truths(model, [Finding("c0", "bad")], 1, seed)[0]
        said: list[Said] = [Finding("c0", "bad")]
        for n in range(1, 1 + seed % 12):
            check = model.checks[f"c{7 * n}"]
            said.append(Finding(check.check, truth.show(check)))
        taken.append(timed(model, said))
    return taken


def on_laptop(quick: bool) -> Taken:
    """Return times of advice on the shipped laptop family, along whole repairs."""
    model, starts = laptop()
    taken: Taken = []

    def watched(model: CompiledModel, said: list[Said], wants: Preferences) -> tuple[str, str]:
        taken.append(timed(model, said))
        return ours(model, said, wants)

    for number, start in enumerate(starts[: 2 if quick else 6]):
        repair(model, start, truths(model, start, 1, number)[0], watched, Preferences())
    return taken


def to_card(quick: bool) -> Taken:
    """Return times from a tap on a card of the demo's job until the next card is there."""
    return request_to_card(5 if quick else 40)
