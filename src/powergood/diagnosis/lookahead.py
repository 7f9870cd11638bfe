"""Scoring of steps: what a step costs now and what is left to pay after it, on average.

What is left is estimated as the cost if the faults were known, plus a price for each bit of not knowing
(`LAMBDA`, tuned on generated machines; see docs/benchmarks.md). Steps are scored one deep, then the best
few two deep. All expectations are over the weighted samples of a `Node`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec
from powergood.diagnosis.outlook import Columns, columns, outcome_chances
from powergood.diagnosis.recursion import Floats
from powergood.diagnosis.samples import Bools, Samples
from powergood.diagnosis.unknowing import Kinds, both, entropies, entropy, kinds
from powergood.diagnosis.worth import REFIT_PART, Hindsight, Worth

LAMBDA = 10.0
"""Minutes of expected work that one bit of not knowing costs; judgement, from measured plans."""

LEAF = 12.0
"""Minutes a bit where a plan is cut off: dearer than LAMBDA, so that delay never looks cheap. Chosen on small
machines with a known best plan (docs/explanation/planning.md)."""

PAYS = 0.7
"""A check that proves nothing wanted is worth doing when it saves this share of its cost: under one, since
one look ahead sees less than all it saves. Chosen as LEAF was."""

GENEROUS = 0.25
"""Judgement: share of PAYS and PROVES that lets a check through where plans are followed far."""

PROVES = 0.5
"""Judgement: a check that proves something wanted must be done some time, and need only save this share."""

MOST_FIXES = 2
"""Fixes weighed against checks: those of the best index, chance of mending over cost, which is the order
in which fixes are best done when nothing more can be learnt (docs/explanation/planning.md)."""

OPENED_EARLY = 0.5
"""Judgement: what an opening that will be needed anyway is worth now; it may yet turn out not to be needed,
so what can be done outside comes first."""

DOING = 1.0
"""Judgement: minutes by which looking is preferred to doing where the two come out alike."""

LEAST_MASS = 1e-3
"""Outcomes less likely than this are not looked into further."""


@dataclass(frozen=True, slots=True)
class Node:
    """A state of the plan: weighted samples of what is wrong, what is open, what is still unproven.

    `weights` (S,) sum to one. `times` counts how often each fix was done on the way here. `told` are checks
    that would only be the same look again, until something is done.
    """

    present: Bools
    weights: Floats
    broken: Bools
    opened: frozenset[str]
    unproven: frozenset[int]
    times: tuple[int, ...]
    missing: frozenset[str]
    told: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Scored:
    """A step and the expected cost of the whole rest if it is done next, in minutes.

    `gain` is what a check is expected to save by what it tells, one step deep; a check that tells
    nothing gains nothing. Infinite for what is not a check.
    """

    step: str
    kind: str
    total: float
    cost: float
    gain: float = np.inf


@dataclass(frozen=True, slots=True)
class Seen:
    """What a pass of one check means: its chance, and that nothing is left to mend then (`lasting`).

    `left` and `left_now` are each wanted function's chance of still being broken, after the pass and now.
    """

    mass: float
    lasting: float
    left: Floats
    left_now: Floats


class Lookahead:
    """Scores steps at a node. Holds what does not change on the way: columns, fixes, random draws."""

    def __init__(
        self, worth: Worth, samples: Samples, checks: Sequence[CheckSpec], fixes: Sequence[FixSpec],
        missing: frozenset[str],
    ) -> None:  # fmt: skip
        self.worth = worth
        self.model: CompiledModel = worth.model
        self.samples = samples
        self.fixes = tuple(fixes)
        self.laid: Columns = columns(self.model, checks, samples, missing)
        self.hindsight = Hindsight(worth, samples, fixes)
        generator = np.random.default_rng(samples.generator_seed + 1)
        count, faults = samples.present.shape
        self._cures = generator.random((count, len(self.fixes) + 1))
        self._duds = generator.random((count, len(self.fixes) + 1))
        self._which = generator.random((count, len(self.fixes) + 1))
        self._disturbs = generator.random((count, faults))
        self._good = {check.id: int(at) for check, at in zip(checks, self.laid.good, strict=True)}
        self._number = {fix.id: at for at, fix in enumerate(self.fixes)}
        self._kinds: dict[tuple[int, frozenset[str]], tuple[Bools, Kinds]] = {}
        self._pairs: dict[tuple[int, frozenset[str]], tuple[Bools, Kinds, Kinds]] = {}
        self._outlooks: dict[int, tuple[Bools, Floats, Floats]] = {}

    def narrowed(self, checks: Sequence[CheckSpec], missing: frozenset[str]) -> Lookahead:
        """Return the same with fewer checks, for looking further ahead."""
        return Lookahead(self.worth, self.samples, checks, self.fixes, missing)

    # --- nodes ------------------------------------------------------------------------------------

    def outlook(self, node: Node) -> tuple[Floats, Floats]:
        """Return the chance of every outcome in each sample, and whether each wanted function is broken.

        Shapes (S, outcomes) and (S, W). They depend on what is present only, so nodes that differ in
        weights share them; worked out when first asked for.
        """
        key = id(node.present)
        if key not in self._outlooks:
            chances = outcome_chances(self.laid, self.samples, node.present)
            self._outlooks[key] = (node.present, chances, self.hindsight.left(node.present))
        return self._outlooks[key][1:]

    def root(
        self,
        opened: frozenset[str],
        unproven: frozenset[int],
        missing: frozenset[str],
        told: frozenset[str] = frozenset(),
    ) -> Node:
        """Return the node where the job stands now."""
        present = self.samples.present
        count = present.shape[0]
        return Node(
            present=present,
            weights=np.full(count, 1.0 / count),
            broken=self.hindsight.broken(present),
            opened=opened,
            unproven=unproven,
            times=(0,) * len(self.fixes),
            missing=missing,
            told=told,
        )

    def after_fix(self, node: Node, fix: FixSpec) -> Node:
        """Return the node after a fix: what it cured and disturbed in each sample, what lost its proof."""
        number = self._number[fix.id]
        shift = node.times[number]
        cured = np.roll(self._cures[:, number], shift)
        present = node.present.copy()
        for fault, chance in fix.cures.items():
            present[:, fault] &= ~(cured < chance)
        if fix.slot and fix.dud > 0:
            self._fit_new(fix, number, shift, present)
        for fault, chance in fix.disturbs.items():
            present[:, fault] |= np.roll(self._disturbs[:, fault], shift) < chance
        bases = {link.base for fault in fix.cures for link in self.model.faults[fault].links}
        lost = {n for n, closure in enumerate(self.worth.closures) if closure & bases}
        times = tuple(n + (place == number) for place, n in enumerate(node.times))
        return replace(
            node,
            present=present,
            broken=self.hindsight.broken(present),
            opened=node.opened | self.model.whole_opening(fix.open),
            unproven=node.unproven | lost,
            times=times,
            missing=node.missing - {fix.slot},
            told=frozenset(),
        )

    def _fit_new(self, fix: FixSpec, number: int, shift: int, present: Bools) -> None:
        own = [at for at, fault in enumerate(self.model.faults) if fault.slot == fix.slot]
        shares = np.array([self.model.faults[at].prior for at in own])
        rising = np.cumsum(shares / shares.sum()) if shares.sum() else np.ones(len(own))
        dud = np.roll(self._duds[:, number], shift) < fix.dud
        which = (np.roll(self._which[:, number], shift)[:, None] >= rising[:-1]).sum(axis=1)
        for place, fault in enumerate(own):
            present[:, fault] |= dud & (which == place)

    def after_outcome(self, node: Node, check: CheckSpec, outcome: int) -> Node:
        """Return the node after the check showed outcome column `outcome`."""
        weights = node.weights * self.outlook(node)[0][:, outcome]
        weights = weights / weights.sum()
        unproven = node.unproven
        if outcome == self._good[check.id]:
            unproven = unproven - self._proves(node, check, weights)
        opened = (node.opened | self.model.whole_opening(check.open)) - check.closed
        return replace(
            node, weights=weights, opened=opened, unproven=unproven, missing=node.missing - check.fitted
        )

    def _proves(self, node: Node, check: CheckSpec, weights: Floats) -> frozenset[int]:
        """Return the wanted functions that a pass proves: shown to work, and little chance left against."""
        shown = self.worth.provers.get(check.id, frozenset()) & node.unproven
        left = self.outlook(node)[1]
        return frozenset(n for n in shown if weights @ left[:, n] < self.worth.preferences.threshold)

    # --- values -----------------------------------------------------------------------------------

    def value(self, node: Node, *, bit: float = LEAF) -> float:
        """Return the estimate of what is left to pay at `node`, at `bit` minutes for a bit of not knowing."""
        if not node.unproven:
            return self.worth.refit(node.opened)
        known = self.hindsight.known(node.broken, node.opened, node.unproven)
        return float(node.weights @ known.cost) + bit * entropy(node.weights, self.mends(node))

    def scores(self, node: Node, *, generous: bool = False) -> list[Scored]:
        """Return the checks that pay for themselves and the best fixes, cheapest expected total first.

        A check that is expected to save less than it costs is left out: putting off a fix by looking at
        something cheap is never worth it. `generous` lets more of both through, for whoever will look further
        ahead before choosing. Ties are broken by name, so that equal facts give equal advice.
        """
        share = GENEROUS if generous else 1.0
        fixes = MOST_FIXES * (2 if generous else 1)
        found = [
            each
            for each in self._check_scores(node)
            if each.step not in node.told
            and each.gain > share * (PROVES if self._proves_something(node, each.step) else PAYS) * each.cost
        ]
        found += [self._fix_score(node, fix) for fix in self._promising(node, fixes)]
        return sorted(found, key=lambda each: (round(each.total, 6), each.step))

    def _proves_something(self, node: Node, check: str) -> bool:
        return bool(self.worth.provers.get(check, frozenset()) & node.unproven)

    def cost(self, node: Node, step: CheckSpec | FixSpec) -> float:
        """Return what a step costs at `node`, parts to be put back for it included."""
        if isinstance(step, FixSpec):
            return self.worth.fix_cost(step, node.opened)
        back = REFIT_PART * len(step.fitted & node.missing)
        return self.worth.check_cost(step, node.opened) + back

    def mends(self, node: Node) -> Kinds:
        """Return the samples by what must be mended in them; kept for the same faults and openings."""
        key = (id(node.broken), node.opened)
        if key not in self._kinds:
            needs = self.hindsight.known(node.broken, node.opened, node.unproven).needs
            self._kinds[key] = (node.broken, kinds(needs))
        return self._kinds[key][1]

    def _tells(self, node: Node) -> tuple[Kinds, Kinds]:
        """Return the samples by what proving everything would tell, and by that and what must be mended."""
        key = (id(node.present), node.opened)
        if key not in self._pairs:
            tells = kinds(self.hindsight.own_broken(node.present))
            self._pairs[key] = (node.present, tells, both(self.mends(node), tells))
        return self._pairs[key][1:]

    def _check_scores(self, node: Node) -> list[Scored]:
        if not self.laid.checks:
            return []
        chances, broken = self.outlook(node)
        mass = node.weights @ chances
        joint = node.weights[:, None] * chances
        known_here = self.hindsight.known(node.broken, node.opened, node.unproven)
        needs = known_here.needs
        known_now = float(node.weights @ known_here.cost)
        left_now = node.weights @ broken
        whole = (joint.T @ ~needs.any(axis=1)) / np.maximum(mass, 1e-300)
        left = (joint.T @ broken) / np.maximum(mass, 1e-300)[:, None]
        mends, tells, pairs = self.mends(node), *self._tells(node)
        alone = node.weights[:, None]
        bits, before_all = entropies(joint, mends), entropies(alone, mends)[0]
        bits_beyond = entropies(joint, pairs) - entropies(joint, tells)
        before_beyond = entropies(alone, pairs)[0] - entropies(alone, tells)[0]
        bits_now = entropy(node.weights, mends)
        by_opened: dict[frozenset[str], float] = {}
        found = []
        for number, check in enumerate(self.laid.checks):
            opened = (node.opened | self.model.whole_opening(check.open)) - check.closed
            if opened not in by_opened:
                known = self.hindsight.known(node.broken, opened, node.unproven)
                by_opened[opened] = float(node.weights @ known.cost)
            own = slice(int(self.laid.first[number]), int(self.laid.good[number]) + 1)
            proves = self._proves_something(node, check.id)
            kept, before = (bits, before_all) if proves else (bits_beyond, before_beyond)
            learned = LAMBDA * max(before - float(kept[own].sum()), 0.0)
            good = self._good[check.id]
            seen = Seen(float(mass[good]), float(whole[good]), left[good], left_now)
            learned += self._proof_saved(node, check, seen, opened)
            cost = self.cost(node, check)
            reached = known_now - by_opened[opened]
            gain = (1.0 - check.no_verdict) * learned + min(reached, OPENED_EARLY * reached)
            total = cost + known_now + LEAF * bits_now - gain
            found.append(Scored(check.id, "check", float(total), cost, float(gain)))
        return found

    def _proof_saved(self, node: Node, check: CheckSpec, seen: Seen, opened: frozenset[str]) -> float:
        """Return what a pass of the check saves by proving functions, on average.

        A proof is worth only as much as it is likely to last: if something is still to be mended the
        mending may undo it. Where one pass is not enough (an intermittent fault may still be there), it
        earns its share of the way to the threshold.
        """
        threshold = self.worth.preferences.threshold
        shown = self.worth.provers.get(check.id, frozenset()) & node.unproven
        saved = 0.0
        whole = self.worth.proof(node.unproven, opened)
        for function in shown:
            way = _share_of_way(seen.left_now[function], seen.left[function], threshold)
            if way > 0:
                saved += way * (whole - self.worth.proof(node.unproven - {function}, opened))
        proven = frozenset(n for n in shown if seen.left[n] < threshold)
        if len(proven) > 1:
            saved = max(saved, whole - self.worth.proof(node.unproven - proven, opened))
        return seen.mass * saved * seen.lasting

    def _promising(self, node: Node, most: int) -> list[FixSpec]:
        """Return the fixes of the best index: functions made to work, on average, over cost and a test of it.

        A fault behind another that still breaks everything is not mended by its own fix yet, so what hides
        the rest comes first. Where nothing would make a function work, any fix of something broken counts.
        """
        works = node.weights @ self.hindsight.restores(node.present)
        at_fault = node.weights @ node.broken
        test = self.worth.test(node.opened)
        ranked = []
        for number, fix in enumerate(self.fixes):
            mends = sum(at_fault[fault] * cure for fault, cure in fix.cures.items())
            if mends > LEAST_MASS:
                index = (works[number] + LEAST_MASS * mends) / (self.cost(node, fix) + test)
                ranked.append((-index, fix.id, fix))
        return [fix for _, _, fix in sorted(ranked, key=lambda each: each[:2])[:most]]

    def _fix_score(self, node: Node, fix: FixSpec) -> Scored:
        cost = self.cost(node, fix)
        unsure = (LEAF - LAMBDA) * entropy(node.weights, self.mends(node))
        rest = self.value(self.after_fix(node, fix), bit=LAMBDA) + unsure
        return Scored(fix.id, "fix", cost + rest + DOING, cost)

    def branches(self, node: Node, check: CheckSpec) -> list[tuple[float, Node]]:
        """Return the nodes a check can lead to with their chances, unlikely ones left out."""
        number = next(at for at, each in enumerate(self.laid.checks) if each.id == check.id)
        own = range(int(self.laid.first[number]), int(self.laid.good[number]) + 1)
        mass = node.weights @ self.outlook(node)[0]
        likely = [outcome for outcome in own if mass[outcome] > LEAST_MASS]
        total = sum(float(mass[outcome]) for outcome in likely) or 1.0
        return [(float(mass[each]) / total, self.after_outcome(node, check, each)) for each in likely]


def _share_of_way(now: float, then: float, threshold: float) -> float:
    """Return how far from `now` to `threshold` the chance `then` has come, in proportion of logarithms."""
    if then < threshold:
        return 1.0
    if now <= then:
        return 0.0
    return float(np.log(now / then) / np.log(now / threshold))
