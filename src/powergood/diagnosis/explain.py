"""Why a step is advised, in sentences a tired person understands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from powergood.diagnosis.compiled import SOMETHING_ELSE, CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.model import FaultChance, OutcomeChance, Step
from powergood.units import in_100, in_minutes

LIKELY = ((0.9, "almost surely"), (0.7, "very likely"), (0.5, "probably"), (0.25, "quite possibly"))
"""Judgement: words for chances, highest first."""

WORTH_NAMING = 0.1
"""Judgement: a suspect less likely than this is not named as what an outcome would point at."""


WORTH_FEARING = 0.01
"""Judgement: a chance of breaking something below this is not named as a reason against a step."""


def likely(chance: float) -> str:
    """Return the word for a chance."""
    return next((word for least, word in LIKELY if chance >= least), "possibly")


def part_title(model: CompiledModel, slot: str) -> str:
    """Return a part's name as it stands inside a sentence."""
    title = model.part_titles.get(slot, slot)
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def _pointed_at(model: CompiledModel, name: str) -> str:
    kind, _, area = name.partition(".")
    if kind == SOMETHING_ELSE:
        return f"something nobody listed in this area: {model.area_titles.get(area, area).lower()}"
    return f"the {part_title(model, name)}"


def why_check(
    model: CompiledModel, check: CheckSpec, outcomes: Sequence[OutcomeChance], opens: Sequence[str]
) -> str:
    """Return what a check is good for: what its outcomes would point at, and what it costs to reach."""
    pointed = []
    for outcome in sorted(outcomes, key=lambda each: -each.chance):
        if outcome.leaves and outcome.chance >= 0.05 and outcome.leaves[0][1] >= WORTH_NAMING:
            slot, chance = outcome.leaves[0]
            words = outcome.words.rstrip(".").strip() or outcome.outcome
            pointed.append(f"“{words}” would point at {_pointed_at(model, slot)} ({in_100(chance)})")
    effort = "It opens nothing new." if not opens else f"It needs {len(opens)} more to be opened."
    if len(outcomes) == 1 or not pointed:
        return f"It shows whether this works as it should. {effort}"
    return f"{'; '.join(pointed[:3])}. {effort}"


def why_fix(model: CompiledModel, fix: FixSpec, chances: Mapping[int, float]) -> str:
    """Return why a fix is worth doing now rather than learning more."""
    cured = sorted(((chances.get(fault, 0.0), fault) for fault in fix.cures), reverse=True)
    if not cured or cured[0][0] < 0.01:
        return "It cures nothing that is likely."
    chance, fault = cured[0]
    title = model.faults[fault].title
    first = f"{title} is {likely(chance)} there ({in_100(chance)})."
    if len([share for share, _ in cured if share >= 0.05]) > 1:
        first += " It would cure other suspects with it."
    if fix.unexplained:
        first += " If it helps, the cure stays unexplained until it has been watched."
    return first


def than_next_best(other: Step, saves: float, error: float) -> str:
    """Return what the advised step is expected to save against the next best."""
    if other.kind == "stop":
        return f"To stop instead would cost about {in_minutes(saves)} more, by what it is worth to you."
    if alike(saves, error):
        return f"The next best is expected to come to about the same: {_named(other)}."
    return f"It is expected to save about {in_minutes(saves)} against the next best: {_named(other)}."


def not_own_fix(step: Step, fault: FaultChance, left: float, *, saves: float, error: float) -> str:
    """Return why the likeliest suspect's own fix is not the step: what it takes, and what it would leave."""
    takes = [in_minutes(step.minutes)]
    takes += [f"about {step.money:.0f} in money"] if step.money >= 0.5 else []
    costs = f"takes {' and '.join(takes)}"
    costs += ", cannot be undone" if step.consent else ""
    costs += f", may break something ({in_100(step.harm)})" if step.harm >= WORTH_FEARING else ""
    return (
        f"{_why_not_mend(fault)} that {costs}, and something wanted would still not work after it, "
        f"{in_100(left)} times; {_begun_so(saves, error)}"
    )


def waiting_for(fault: FaultChance, gate: str) -> str:
    """Return that the likeliest suspect's own fix waits for a gate."""
    return f"{_why_not_mend(fault)} that waits for a safety condition: {gate}."


def not_quickest(step: Step, ask: str, tells: float, *, saves: float, error: float) -> str:
    """Return why the quickest look is not the step: how little it is expected to tell."""
    quickest = f"Why not the quickest look, “{ask.rstrip('.?')}”, at {in_minutes(step.minutes)}?"
    later = in_minutes(max(tells, 0.01))
    return f"{quickest} What it tells now is expected to save {later} later; {_begun_so(saves, error)}"


def alike(saves: float, error: float) -> bool:
    """Tell whether two steps come out alike: within a minute or one standard error of the difference."""
    return saves < max(1.0, error)


def _begun_so(saves: float, error: float) -> str:
    if alike(saves, error):
        return "begun so, the job is expected to come to about the same."
    if error <= 0.0:
        return f"begun so, the job comes to more, {in_minutes(saves)} by a rough estimate."
    return f"begun so, the job is expected to come to about {in_minutes(saves)} more."


def _why_not_mend(fault: FaultChance) -> str:
    return f"Why not mend “{fault.title}” at once? It is the likeliest suspect ({in_100(fault.chance)}), but"


def _named(step: Step) -> str:
    return f"“{step.ask.rstrip('.?')}”"


def near_best(total: float, least: float) -> str:
    """Return in words how near a plan of cost `total` is to one that cannot be beaten at `least`."""
    if total <= 0:
        return "Nothing is left to do."
    gap = (total - least) / total
    if gap < 0.05:
        return "No plan can be noticeably better than this one."
    if gap < 0.2:
        return "No plan can be much better than this one."
    if gap < 0.5:
        return "A better plan may exist; none can cost less than about half."
    if gap < 0.75:
        return "A better plan may exist; none can cost less than a quarter."
    return "How near this is to the best plan is not known yet."
