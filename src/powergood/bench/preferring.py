"""What time, money and the machine are worth here, and the limits set: as facts, with their history.

The last word on each counts; taking it back brings the one before it. What nobody set has its default.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from powergood.bench.machine_state import seen_at
from powergood.bench.taught_views import PreferenceLine, WorthView
from powergood.bench.workshop import Workshop, number
from powergood.diagnosis import Limits, Preferences
from powergood.errors import BadInput
from powergood.record.model import Draft, Fact, PreferenceSet, Withdrawn
from powergood.record.timeline import timeline


@dataclass(frozen=True, slots=True)
class _Asked:
    """One preference as it is asked for; numbers above nought and at most `most`."""

    name: str
    title: str
    hint: str
    unit: str
    default: str
    most: float = inf


_USUAL = Preferences()

TICK = "ticked"
"""The unit of a preference that is ticked or not."""

ASKED = (
    _Asked(
        "hour",
        "An hour of your work",
        "In your money. It turns money into minutes.",
        "money",
        f"{_USUAL.hour:g}",
    ),
    _Asked(
        "wait_hour",
        "An hour of waiting",
        "In your money: drying, warming up, copying.",
        "money",
        f"{_USUAL.wait_hour:g}",
    ),
    _Asked(
        "worth",
        "The machine, working",
        "What it is worth to you when it works.",
        "money",
        f"{_USUAL.worth:g}",
    ),
    _Asked(
        "threshold",
        "Proven when a fault is left with",
        "A chance in a hundred at most.",
        "in 100",
        f"{100 * _USUAL.threshold:g}",
        50,
    ),
    _Asked("limit_money", "Money for one job", "Told before the next part is bought.", "money", ""),
    _Asked(
        "limit_minutes", "Hands-on minutes for one job", "Told before the next step begins.", "minutes", ""
    ),
    _Asked(
        "limit_parts",
        "Parts changed without any change",
        "Told before one more is changed.",
        "parts",
        "3",
        20,
    ),
    _Asked(
        "limit_depth",
        "Openings a step may lie behind",
        "As deep as you are trained to go.",
        "openings",
        "",
        50,
    ),
    _Asked(
        "limit_danger",
        "Tell me before a step that is marked Danger",
        "For whoever is not trained for mains or tube work.",
        TICK,
        "",
        1,
    ),
)
"""All that can be preferred, in the order of the page. Defaults are judgement."""

NAMES = tuple(each.name for each in ASKED)

TICKS = tuple(each.name for each in ASKED if each.unit == TICK)
"""Those that are ticked or not: a form that does not send one unsets it."""


def preferences(ws: Workshop, cannot: frozenset[str] = frozenset()) -> Preferences:
    """Return what time, money and machine are worth here, with the steps that cannot be done."""
    set_here = {name: number(value) for name, value in _values(ws).items() if not name.startswith("limit_")}
    known = {name: value for name, value in set_here.items() if value is not None}
    if "threshold" in known:
        known["threshold"] /= 100.0
    return Preferences(cannot=cannot, **known)


def limits(ws: Workshop) -> Limits:
    """Return the stop rules set here, those with a default included."""
    said = {each.name: each.default for each in ASKED} | _values(ws)
    return Limits(
        money=number(said["limit_money"]),
        minutes=number(said["limit_minutes"]),
        parts=number(said["limit_parts"]),
        depth=number(said["limit_depth"]),
        danger=bool(number(said["limit_danger"])),
    )


def prefer(ws: Workshop, values: Mapping[str, str], *, key: str, who: str = "") -> None:
    """Write down what is preferred, only what is another than before; an empty value unsets one.

    Raises
    ------
    BadInput : names or values that make no sense, all at once; nothing was written.
    """
    problems = mistakes(values)
    if problems:
        raise BadInput("\n".join([*problems.values(), "Nothing was written down."]))
    now = _values(ws)
    changed = {name: value.strip() for name, value in values.items() if value.strip() != now.get(name, "")}
    ws.store.append(
        [Draft(PreferenceSet(name, value), f"{key}/{name}", who=who) for name, value in changed.items()]
    )


def mistakes(values: Mapping[str, str]) -> dict[str, str]:
    """Return what is wrong with values, by name; each says what to do."""
    asked = {each.name: each for each in ASKED}
    found = {}
    for name, value in values.items():
        if name not in asked:
            found[name] = f"There is no preference {name!r}; there are: {', '.join(NAMES)}."
        elif value.strip():
            amount = number(value.strip().replace(",", "."))
            if amount is None or amount > asked[name].most:
                reach = f" and at most {asked[name].most:g}" if asked[name].most < inf else ""
                found[name] = f"{asked[name].title}: {value.strip()[:40]!r} is no number above 0{reach}."
    return found


def take_back(ws: Workshop, fact: int, *, key: str, who: str = "") -> None:
    """Take a preference back; the one before it counts again.

    Raises
    ------
    BadInput : no preference was set with that fact, or it was taken back already.
    """
    if fact not in {each.number for each in _standing(ws)}:
        raise BadInput(f"Fact {fact} sets no preference, or was taken back already; nothing was changed.")
    ws.store.append([Draft(Withdrawn(fact), f"{key}/1", who=who)])


def worth_view(ws: Workshop) -> WorthView:
    """Return the page of preferences: each with its value, its default and its history."""
    standing = _standing(ws)
    values = _values(ws)
    lines = tuple(
        PreferenceLine(
            name=each.name,
            title=each.title,
            hint=each.hint,
            unit=each.unit,
            value=values.get(each.name, ""),
            default=each.default,
            limit=each.name.startswith("limit_"),
            tick=each.unit == TICK,
            history=tuple(_said(fact) for fact in standing if _name(fact) == each.name),
        )
        for each in ASKED
    )
    return WorthView(lines)


def _said(fact: Fact) -> tuple[int, str, str, str]:
    assert isinstance(fact.body, PreferenceSet)
    return fact.number, seen_at(fact), fact.body.value or "not set any more", fact.draft.who


def _name(fact: Fact) -> str:
    return fact.body.name if isinstance(fact.body, PreferenceSet) else ""


def _standing(ws: Workshop) -> tuple[Fact, ...]:
    line = timeline(ws.store.facts(kinds=(PreferenceSet, Withdrawn)))
    return tuple(fact for fact in line.facts if isinstance(fact.body, PreferenceSet))


def _values(ws: Workshop) -> dict[str, str]:
    """Return the value set for each preference: from the old settings, then from the facts."""
    settings = {name: value for name, value in ws.store.settings().items() if name in NAMES}
    if "threshold" in settings and (share := number(settings["threshold"])):
        settings["threshold"] = f"{100 * share:g}"
    said = {_name(fact): fact.body.value for fact in _standing(ws) if isinstance(fact.body, PreferenceSet)}
    return {name: value for name, value in {**settings, **said}.items() if value}
