"""An advice in words: how far a job has come, how near the plan is to the best, what does not fit."""

from __future__ import annotations

from powergood.bench.job_state import JobState
from powergood.bench.job_views import Beside, SignOffState
from powergood.bench.step_views import GateCard, Leaning
from powergood.bench.wording import Wording
from powergood.diagnosis import Advice, FunctionState, beside_the_way, in_the_way, near_best
from powergood.units import in_100, in_minutes

MOST_SUSPECTS = 8

MOST_BESIDE = 6

LEAST_SUSPECT = 0.01
"""Judgement: what is rarer than one in a hundred is no suspect."""


def nearness(advice: Advice) -> str:
    """Return in words how near the advised plan is to the best possible one."""
    return near_best(advice.expected_total, advice.at_least)


def figures(advice: Advice, words: Wording) -> str:
    """Return the same in figures: what the plan costs on average, the bound, and what it hangs on."""
    error = f" ± {advice.expected_total_error:.0f}" if advice.expected_total_error >= 0.5 else ""
    bound = f"; no plan can average below {advice.at_least:.0f}" if advice.at_least > 0 else ""
    plan = f"About {advice.expected_total:.0f}{error} minutes on average{bound}."
    return f"{plan} {steadiness(advice, words)}".strip()


def steadiness(advice: Advice, words: Wording) -> str:
    """Return whether the first step stays first if one number is well off what is thought."""
    if not any(step.kind in ("check", "fix") for step in advice.steps):
        return ""
    if advice.hinge is None:
        return (
            "The first step stays first if any one fault is three times likelier or rarer than thought here,"
            " or shows in any one thing 20 times in 100 more or less often."
        )
    hinge = advice.hinge
    fault, step = words.fault(hinge.fault), words.step(hinge.step).rstrip(".")
    if hinge.function:
        what = words.function(hinge.function)
        other = f"Did “{fault}” show in “{what}” {in_100(hinge.strength)} times"
    else:
        often = "likelier" if hinge.odds > 1 else "rarer"
        other = f"Were “{fault}” three times {often} than thought here"
    return f"It hangs on one number. {other}, this would come first: {step}."


def suspects(advice: Advice, words: Wording) -> tuple[Leaning, ...]:
    """Return the likeliest faults that stand in the way of something wanted, with their chances."""
    ranked = [each for each in in_the_way(advice) if each.chance >= LEAST_SUSPECT][:MOST_SUSPECTS]
    return tuple(Leaning(each.fault, each.title or words.fault(each.fault), each.chance) for each in ranked)


def besides(advice: Advice, words: Wording) -> tuple[Beside, ...]:
    """Return the faults that are likely though nothing wanted hangs on them, and what would mend each."""
    return tuple(
        Beside(
            fault=each.fault,
            title=each.title or words.fault(each.fault),
            chance=each.chance,
            do=words.step(each.mended_by) if each.mended_by else "",
        )
        for each in beside_the_way(advice)[:MOST_BESIDE]
    )


def something_else(advice: Advice, words: Wording) -> tuple[Leaning, ...]:
    """Return the areas whose trouble may be something nobody listed, likeliest first."""
    areas = sorted(advice.something_else, key=lambda each: (-each.chance, each.area))
    return tuple(Leaning(each.area, each.title or words.area(each.area), each.chance) for each in areas)


def conflict_words(advice: Advice) -> str:
    """Return one sentence when the findings fit nothing known; empty when they do fit."""
    if not advice.conflict:
        return ""
    numbers = ", ".join(str(number) for number in advice.conflict)
    facts = "finding" if len(advice.conflict) == 1 else "findings"
    again = f"Look again at {facts} {numbers}, or withdraw what was wrong."
    return f"What was found fits nothing known here. {again}"


def unread_words(advice: Advice | None) -> str:
    """Return one sentence when facts name what the pack does not have; empty when all can be read."""
    if advice is None or not advice.unread:
        return ""
    numbers = ", ".join(str(number) for number in advice.unread)
    return f"Not counted, since the pack does not have what they name: {numbers} in the record."


def unexplained_words(advice: Advice, words: Wording) -> tuple[str, ...]:
    """Return some sentences for each cure that nobody can explain yet, and each part exchanged unsurely."""
    helped = [
        f"{words.step(name).rstrip('.')}: if it works since, nobody knows why. Undo it and look, or watch it."
        for name in advice.unexplained
    ]
    exchanged = [
        f"{words.part(each.slot)}: that the old one was at fault is {in_100(each.chance)}. To know, switch"
        f" off, put it back, look once and fit the new one again ({in_minutes(each.minutes)} in all)."
        " If the trouble comes back with it, it was the part. If not, it was its contacts or something beside"
        " it, and the old one is a spare."
        for each in advice.exchanged
    ]
    return (*helped, *exchanged)


def where(job: JobState, advice: Advice | None, gates: tuple[GateCard, ...], words: Wording) -> str:
    """Return one sentence that says how far a job has come."""
    if job.standing == "signed off":
        return "Signed off."
    if job.standing == "stopped":
        return "Stopped short of repair."
    if job.standing == "on the shelf" and job.waits:
        return f"On the shelf for {job.waits.waits_for}" + (
            f": {job.waits.words}." if job.waits.words else "."
        )
    if advice is None:
        return "No advice just now; the record stands."
    unmet = sum(gate.due for gate in gates)
    if unmet:
        return f"{unmet} safety {'condition is' if unmet == 1 else 'conditions are'} to be met first."
    if advice.conflict:
        return "The findings fit nothing known here."
    proven = sum(state.standing == "proven" for state in advice.functions)
    if advice.functions and proven == len(advice.functions):
        return "Everything wanted is proven."
    return _suspicion(advice, words) + (f" {proven} of {len(advice.functions)} proven." if proven else "")


def _suspicion(advice: Advice, words: Wording) -> str:
    leading = suspects(advice, words)[:1]
    if not leading:
        return "Nothing is suspected."
    return f"Most suspect: {leading[0].title.lower()}, {in_100(leading[0].chance)}."


def functions_without_advice(wanted: tuple[str, ...], words: Wording) -> tuple[FunctionState, ...]:
    """Return each wanted function as unknown, for when no advice could be worked out."""
    return tuple(FunctionState(name, words.function(name), "unknown", 1.0) for name in wanted)


def sign_off_state(
    functions: tuple[FunctionState, ...], still_open: tuple[str, ...], parts_out: tuple[str, ...]
) -> SignOffState:
    """Return whether a job can be signed off, and what is missing in one sentence."""
    unproven = tuple(state for state in functions if state.standing != "proven")
    missing = []
    if unproven:
        missing.append("not proven: " + ", ".join(state.title.lower() for state in unproven))
    if still_open:
        missing.append("still open: " + ", ".join(still_open).lower())
    if parts_out:
        missing.append("still out: " + ", ".join(parts_out).lower())
    said = f"Before signing off, {'; '.join(missing)}." if missing else "Everything wanted is proven."
    return SignOffState(not missing, unproven, still_open, parts_out, said)
