"""Write `docs/worked-cases.md`, how the knowledge does on real repairs, and compare two such pages."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from statistics import median

from followed_cases import MOST_STEPS, Way
from worked_replay import AMONG_FIRST, Replay, pack

REPORT = Path(__file__).parents[2] / "docs" / "worked-cases.md"

HEAD = f"""\
# Worked cases

Made by `python tests/quality/test_worked_cases.py`; tests compare it. Real repairs, told as facts in the
order their finders learned them and cut before the step that revealed the cause by replacing it. The
chances in the pack were judged with most of these repairs in mind, so this shows that the knowledge can tell
them, not how it does on repairs it has never heard of.

How it was measured:

- *Rank* is the place of the true fault among all faults of the class by its chance in the end, *something
  else* left out, every safety condition met. Faults that have nothing to do with the complaint count too: a
  flat clock cell that is likely anyway takes a place. Copies of one fault (two memory modules) count as one,
  with the chance that at least one of them is there, as if they were independent. Where a case has several
  causes the best placed one counts.
- *First three* is the share of cases whose cause is among the first {AMONG_FIRST}.
- *Bits* is the log score against the base rate: the mean of log2(chance in the end / chance before anything
  was known) of that cause. Nought would be no better than knowing the class and its year.
- *Advised* is the number of steps to the cause if the advice is followed from the complaint on: checks and
  fixes, up to and with the first fix that has at least an even chance to cure one of the causes. A check that
  the case tells of answers as it did there; any other as the causes most likely would. Looks on the power-on
  pad that follow each other are one start and count as one step. The job wants back what the complaint is
  about: of the functions that rest on what is told to fail, the picture if it is one, else the one that is
  soonest shown to work. A way that stops, proves all that was wanted or takes {MOST_STEPS} such steps without
  getting there is lost. *Taken* are the steps its finder took, *in vain* fixes that did not cure and *wrong
  turns* those that the story tells. Both step figures are medians over the cases whose way was not lost.
  Stories leave out dull steps, so their figures are low. Where a case has no figure its way was not followed.

The aim of a third fewer steps than people took is not reached by this measure: the advice takes more looks,
half of them of a minute or less, and fewer fixes in vain than the stories tell wrong turns.
"""

WHY_MISSED = {
    "alive-after-the-cell-was-out": "A board that wants only a reset is rarer than a supply that is dead,"
    " and nothing was looked at that tells the two apart.",
    "green-screen-after-an-hour": "A code that names no part, and an error an hour later: loose chips"
    " and sockets show both and are met oftener.",
    "filed-as-dead-twice": "Two looks that say nothing of the picture's way out; the look that would was a"
    " minute's work and was not done.",
    "hair-in-the-cooler": "It went for days and cooling made no change, which speaks against heat. Domed"
    " capacitors, a tired supply and memory freeze a machine of these years as well.",
    "lock-ups-with-one-card": "One complaint and nothing else; the finder went by a pattern he does"
    " not tell.",
    "picture-code-and-dirty-edges": "The contact came and went, and did something else at each start: a code,"
    " silence, stripes. A fault is told here either as one that stays or as one that does the same whenever"
    " it comes.",
    "supply-opened-last": "Two regulators were renewed and it stayed dead; nobody had measured the supply"
    " outside, which is the first thing the advice asks for.",
    "update-blamed": "It stops in its self-test and no more is known. Modules not well seated stop there as"
    " well, and are met twice as often as bad ones.",
}
"""Why a cause is not among the first, where that is right: to lift it would be to fit the one case."""


def report(found: Sequence[Replay], ways: Mapping[str, Way]) -> str:
    """Return the page."""
    unworded = [case for _, case in sorted(pack().worked.items()) if not case.truth]
    missed = [each for each in found if not each.named]
    sources = {source.id: source for source in pack().sources}
    lines = [HEAD, "## By class", "", *_by_class(found, ways), "", "## What is missed", ""]
    among = f"**{len(found) - len(missed)} of {len(found)}** causes are among the first {AMONG_FIRST}"
    apart = sum(each.named_raised for each in found)
    lines += [
        f"{among}. A fault that is likely anyway, such as a flat clock cell, takes a place though it explains"
        f" nothing; with such faults behind all that the facts made likelier, it would be {apart}. Those"
        " below are not, with the reason that each is left so.",
        "",
        *(
            f"- {_link(each)}: rank {each.rank}. {WHY_MISSED.get(each.case.id, '')}".rstrip()
            for each in missed
        ),
    ]
    lines += ["", "No words in the pack for:", ""]
    lines += [f"- {case.title}: {' '.join(case.unexpressed.split())}" for case in unworded]
    lines += ["", "## Case by case", "", *_cases(found, ways)]
    for each in found:
        source = sources[each.case.source]
        lines += ["", f"## {each.case.title}", ""]
        lines += [
            f"Source {each.case.source}: {source.title}. {' '.join(each.case.note.split())}".strip(),
            "",
        ]
        if each.case.unexpressed:
            lines += [f"Without words: {' '.join(each.case.unexpressed.split())}", ""]
        lines += ["| fact | rank | chance |", "|---|---|---|"]
        for at in each.moments:
            lines.append(f"| {at.fact} | {_listed(map(str, at.ranks))} | {_chances(at.chances)} |")
        if each.case.id in ways:
            lines += ["", way_line(each.case.id, ways[each.case.id])]
    return "\n".join(lines) + "\n"


def _by_class(found: Sequence[Replay], ways: Mapping[str, Way]) -> list[str]:
    lines = [
        "| class | cases | first three | fully confirmed | first three of these | median rank | bits"
        " | ways followed | lost | advised | taken | in vain | wrong turns |",
        "|" + "---|" * 13,
    ]
    classes = sorted({each.family for each in found})
    for name in [*classes, "all"]:
        lines.append(_row(name, [each for each in found if name in ("all", each.family)], ways))
    return lines


def _row(name: str, own: Sequence[Replay], ways: Mapping[str, Way]) -> str:
    full = [each for each in own if each.case.confirmed == "full"]
    followed = [(each.case, ways[each.case.id]) for each in own if each.case.id in ways]
    reached = [(case, way) for case, way in followed if way.reached]
    cells = [
        name,
        str(len(own)),
        _share(own),
        str(len(full)),
        _share(full),
        f"{median(each.rank for each in own):g}",
        f"{sum(each.bits for each in own) / len(own):.1f}",
        str(len(followed)),
        str(len(followed) - len(reached)),
        f"{median(way.length for _, way in reached):g}" if reached else "",
        f"{median(case.taken for case, _ in reached):g}" if reached else "",
        str(sum(way.in_vain for _, way in followed)),
        str(sum(case.wrong_turns for case, _ in followed)),
    ]
    return f"| {' | '.join(cells)} |"


def _share(own: Sequence[Replay]) -> str:
    named = sum(each.named for each in own)
    return f"{named} ({named / len(own):.0%})" if own else ""


def _cases(found: Sequence[Replay], ways: Mapping[str, Way]) -> list[str]:
    lines = [
        "| case | cause | confirmed | rank at first | named after | rank in the end | chance in the end"
        " | advised | taken |",
        "|" + "---|" * 9,
    ]
    for each in found:
        first, last = each.moments[0], each.moments[-1]
        after = f"{each.named_after} of {len(each.moments) - 1} facts" if each.named_after >= 0 else "never"
        way = ways.get(each.case.id)
        cells = [
            _link(each),
            _listed(f"`{name}`" for name in each.case.truth),
            each.case.confirmed,
            _listed(map(str, first.ranks)),
            after,
            _listed(map(str, last.ranks)),
            _chances(last.chances),
            "" if way is None else str(way.length) if way.reached else "lost",
            str(each.case.taken),
        ]
        lines.append(f"| {' | '.join(cells)} |")
    return lines


def _link(each: Replay) -> str:
    anchor = re.sub(r"[^\w\- ]", "", each.case.title.lower()).strip().replace(" ", "-")
    return f"[{each.case.title}](#{anchor})"


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words) or "none"


def _chances(chances: Iterable[float]) -> str:
    return _listed(f"{chance:.2f}" for chance in chances)


def way_line(case: str, way: Way) -> str:
    """Return the line that tells a way."""
    end = "there" if way.reached else "lost"
    steps = ", ".join(f"`{step}`" for step in way.steps)
    return f"Advice followed ({case}): {steps}; {end}, fixes in vain: {way.in_vain}."


def ways_in(page: str) -> dict[str, Way]:
    """Return the ways a page tells, by case."""
    told = re.findall(
        r"^Advice followed \(([\w-]+)\): (.*); (there|lost), fixes in vain: (\d+)\.$", page, re.M
    )
    return {
        case: Way(tuple(re.findall(r"`([^`]+)`", steps)), int(vain), end == "there")
        for case, steps, end, vain in told
    }


def unlike(written: str, today: str, near: float = 0.03, places: int = 2) -> list[str]:
    """Return the lines that differ by more than rounding: chances by `near`, whole numbers by `places`."""
    pairs = zip(written.splitlines(), today.splitlines(), strict=False)
    different = [f"{old} / {new}" for old, new in pairs if not _alike(old, new, near, places)]
    longer = abs(len(written.splitlines()) - len(today.splitlines()))
    return [*different, *([f"{longer} lines more or less"] if longer else [])]


def _alike(old: str, new: str, near: float, places: int) -> bool:
    if old == new:
        return True
    number = r"\d+(?:\.\d+)?"
    if re.sub(number, "#", old.replace("never", "0")) != re.sub(number, "#", new.replace("never", "0")):
        return False
    pairs = zip(re.findall(number, old), re.findall(number, new), strict=False)
    return all(abs(float(one) - float(two)) <= (near if "." in one + two else places) for one, two in pairs)
