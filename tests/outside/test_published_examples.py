"""Worked examples of decision-theoretic troubleshooting, published or brute-forced, reproduced exactly.

Published ones name their source. Left out on purpose: Langseth and Jensen, "Decision theoretic
troubleshooting of coherent systems", Reliability Engineering and System Safety, 2003 (title as recalled),
whose example 4 prints figures that do not follow from its own inputs beyond the order of the plans, and
whose example 6 does not follow from the printed chances.
"""

from itertools import combinations, permutations
from random import Random

import pytest

from powergood.diagnosis.access_order import access_order
from powergood.diagnosis.exact import Tree, expected_cost, optimum
from powergood.diagnosis.troubles import (
    Action,
    Cluster,
    Question,
    Trouble,
    World,
    independent,
    noisy,
    single,
    splitting,
)

EXACT = 1e-9


# --- Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", Comm. ACM, 1995, figure 1 ------


def two_repairs(first_alone: float, second_alone: float) -> Trouble:
    """Return the figure's two repairs (costs 10 and 20) where each alone mends with the given chance."""
    both = 1 - first_alone - second_alone
    worlds = (
        World(frozenset({"1"}), first_alone),
        World(frozenset({"2"}), second_alone),
        World(frozenset({"1", "2"}), both),
    )
    return Trouble(worlds, (Action("c1", 10, {"1": 1.0}), Action("c2", 20, {"2": 1.0})))


def test_figure_one_of_heckerman_breese_and_rommelse_prefers_to_observe() -> None:
    """The printed chances are conditional ones, one set for each branch of the tree, and are used as printed.

    (The chance that c1 mends, 0.5 unobserved, is not the mean of its 0.9 and 0.25 over the two answers.)
    """
    unobserved = two_repairs(0.5, 0.05)
    assert expected_cost(unobserved, ["c1", "c2"]) == pytest.approx(20, abs=EXACT)
    assert expected_cost(unobserved, ["c2", "c1"]) == pytest.approx(29.5, abs=EXACT)
    if_seen, if_not = two_repairs(0.9, 0.01), two_repairs(0.25, 0.7)
    observing = 5.0
    branches = [
        (observing + expected_cost(trouble, order))
        for trouble in (if_seen, if_not)
        for order in (["c1", "c2"], ["c2", "c1"])
    ]
    assert branches == pytest.approx([17, 34.9, 30, 28], abs=EXACT)
    best = observing + 0.8 * optimum(if_seen).cost + 0.2 * optimum(if_not).cost
    assert best == pytest.approx(19.2, abs=EXACT)
    assert best < optimum(unobserved).cost


# --- Jensen et al., "The SACSO methodology for troubleshooting complex systems", AI EDAM, 2001, figure 1 --


def sacso() -> Trouble:
    worlds = single({"1": 0.20, "2": 0.25, "3": 0.40, "4": 0.15})
    pairs = {"A1": "12", "A2": "23", "A3": "34"}
    return Trouble(
        worlds, tuple(Action(name, 1, dict.fromkeys(faults, 1.0)) for name, faults in pairs.items())
    )


def test_figure_one_of_sacso_shows_the_greedy_order_beaten() -> None:
    assert expected_cost(sacso(), ["A2", "A1", "A3"]) == pytest.approx(1.50, abs=EXACT)
    assert expected_cost(sacso(), ["A3", "A1"]) == pytest.approx(1.45, abs=EXACT)
    best = optimum(sacso())
    assert best.cost == pytest.approx(1.45, abs=EXACT)
    assert best.plan.steps == ("A3", "A1")


# --- Lín, "Decision-theoretic troubleshooting: hardness of approximation", 2014 ---------------------------


def test_figure_two_of_lin_costs_two() -> None:
    """The figure shows one plan, not the best: three repairs in order without the question cost 1.75."""
    trouble = Trouble(
        single({"1": 0.5, "2": 0.25, "3": 0.25}),
        tuple(Action(f"A{fault}", 1, {fault: 1.0}) for fault in "123"),
        (splitting("Q", 1, "2"),),
    )
    plan = Tree(("A1", "Q"), {"yes": Tree(("A2",)), "no": Tree(("A3",))})
    assert expected_cost(trouble, plan) == pytest.approx(2, abs=EXACT)
    assert optimum(trouble).cost == pytest.approx(1.75, abs=EXACT)


def test_figure_four_of_lin_costs_the_same_in_any_order() -> None:
    """The instance is the paper's; the value was computed from it."""
    actions = tuple(Action(pair, 1, dict.fromkeys(pair, 1.0)) for pair in ("12", "23", "24"))
    trouble = Trouble(single(dict.fromkeys("1234", 0.25)), actions)
    for order in permutations(("12", "23", "24")):
        assert expected_cost(trouble, order) == pytest.approx(1.75, abs=EXACT)
    assert optimum(trouble).cost == pytest.approx(1.75, abs=EXACT)


# --- Vomlelová, "Complexity of decision-theoretic troubleshooting", 2003, theorem 4 -----------------------


# An exact cover of the first 3m faults by m of the triples; the last three faults are in no triple.


def cover(m: int, triples: list[str]) -> Trouble:
    """Return the theorem's trouble: 3m+3 equal faults, an action for each, a question for each triple."""
    faults = "abcdefghijkl"[: 3 * m + 3]
    return Trouble(
        single(dict.fromkeys(faults, 1 / len(faults))),
        tuple(Action(fault, 1, {fault: 1.0}) for fault in faults),
        tuple(splitting(f"Q{triple}", 1, triple) for triple in triples),
    )


def has_exact_cover(m: int, triples: list[str]) -> bool:
    """Tell whether m of the triples are disjoint, and so cover the first 3m faults."""
    return any(len(set("".join(some))) == 3 * m for some in combinations(triples, m))


@pytest.mark.parametrize(
    ("m", "triples", "value"),
    [
        (1, ["abc"], 3),
        (2, ["abc", "cde", "def", "aef"], 3 + 2 / 3),
        (3, ["abc", "def", "ghi", "cdi"], 4.25),
    ],
)
def test_theorem_four_of_vomlelova_with_an_exact_cover(m: int, triples: list[str], value: float) -> None:
    assert has_exact_cover(m, triples)
    assert 2 + m * (m + 3) / (2 * (m + 1)) == pytest.approx(value)
    assert optimum(cover(m, triples)).cost == pytest.approx(value, abs=EXACT)


@pytest.mark.parametrize("triples", [["abc", "cde", "aef", "bdf"], ["abc", "abd", "acd", "bcd"]])
def test_theorem_four_of_vomlelova_without_an_exact_cover_costs_more(triples: list[str]) -> None:
    assert not has_exact_cover(2, triples)
    assert optimum(cover(2, triples)).cost > 3 + 2 / 3 + EXACT


# --- observe, repair, test, service: equation 1 of Heckerman, Breese and Rommelse, on an instance of ours --


def test_equation_one_of_heckerman_breese_and_rommelse_by_hand() -> None:
    """Look (1, 1, 30), repair when faulty (5, 8, 10), test 1, service 25; worked from the equation."""
    chances, looks, repairs, test, service = (0.5, 0.3, 0.2), (1, 1, 30), (5, 8, 10), 1, 25
    actions = tuple(
        Action(name, look, {name: 1.0}, on_cure=repair + test)
        for name, look, repair in zip("abc", looks, repairs, strict=True)
    )
    worlds = single(dict(zip("abc", chances, strict=True)))
    trouble = Trouble(worlds, actions, service=service)
    costs = [expected_cost(trouble, [*"abc"[:k], "service"]) for k in range(4)]
    assert costs == pytest.approx([25, 16.5, 12.2, 15.4], abs=EXACT)
    best = optimum(trouble)
    assert best.cost == pytest.approx(12.2, abs=EXACT)
    assert best.plan.steps == ("a", "b", "service")


# --- openings that form a tree ------------------------------------------------------------------------------

# An instance of ours, brute-forced over all orders.
CLUSTERS = (Cluster("1", 4), Cluster("2", 3, "1"), Cluster("3", 6))
ITEMS = [
    ("", 0.10, 2),
    ("", 0.05, 1),
    ("1", 0.20, 1),
    ("2", 0.35, 2),
    ("2", 0.05, 5),
    ("3", 0.15, 1),
    ("3", 0.10, 1),
]
ACTIONS = tuple(
    Action(f"a{n}", cost, {f"f{n}": 1.0}, cluster=where) for n, (where, _, cost) in enumerate(ITEMS)
)
CHANCES = {f"f{n}": chance for n, (_, chance, _) in enumerate(ITEMS)}


@pytest.mark.parametrize(("single_fault", "value"), [(True, 12.75), (False, 14.388774)])
def test_the_order_behind_openings_has_its_brute_forced_cost(single_fault: bool, value: float) -> None:
    """With independent faults the figure is given that at least one is present."""
    worlds = single(CHANCES) if single_fault else independent(CHANCES)
    fails = sum(world.chance for world in worlds if world.faults)
    trouble = Trouble(worlds, ACTIONS, clusters=CLUSTERS)
    order = access_order(ACTIONS, CLUSTERS, CHANCES, single_fault=single_fault)
    assert expected_cost(trouble, order) / fails == pytest.approx(value, abs=1e-6)
    assert optimum(trouble).cost / fails == pytest.approx(value, abs=1e-6)


def random_access(seed: int, *, single_fault: bool) -> tuple[Trouble, tuple[str, ...]]:
    """Return a small random trouble behind a tree of openings, and the order that is said to be best."""
    chance = Random(seed)
    clusters = tuple(
        Cluster(str(n), chance.randint(0, 6), chance.choice(["", *map(str, range(1, n))]))
        for n in range(1, chance.randint(2, 4))
    )
    places = ["", *(cluster.name for cluster in clusters)]
    count = chance.randint(3, 5)
    weights = [chance.randint(1, 9) for _ in range(count)]
    of_one = sum(weights) if single_fault else 12
    chances = {f"f{n}": weight / of_one for n, weight in enumerate(weights)}
    actions = tuple(
        Action(f"a{n}", chance.randint(1, 9), {f"f{n}": 1.0}, cluster=chance.choice(places))
        for n in range(count)
    )
    worlds = single(chances) if single_fault else independent(chances)
    return Trouble(worlds, actions, clusters=clusters), access_order(
        actions, clusters, chances, single_fault=single_fault
    )


@pytest.mark.parametrize("single_fault", [True, False])
@pytest.mark.parametrize("seed", range(60))
def test_the_order_behind_openings_is_the_best_of_all_orders(seed: int, single_fault: bool) -> None:
    trouble, order = random_access(seed, single_fault=single_fault)
    names = [action.name for action in trouble.actions]
    best = min(expected_cost(trouble, each) for each in permutations(names))
    assert sorted(order) == sorted(names)
    assert expected_cost(trouble, order) == pytest.approx(best, abs=EXACT)


# --- the exact search itself ------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(40))
def test_the_search_is_never_above_any_order_and_its_plan_has_its_cost(seed: int) -> None:
    chance = Random(seed)
    faults = [f"f{n}" for n in range(chance.randint(2, 4))]
    actions = tuple(
        Action(
            f"a{n}",
            chance.randint(1, 5),
            {fault: chance.choice([0.6, 1.0]) for fault in chance.sample(faults, chance.randint(1, 2))},
            on_cure=chance.choice([0, 2]),
            cluster=chance.choice(["", "in"]),
        )
        for n in range(4)
    )
    questions = (
        noisy("q", chance.choice([0.2, 1.0]), {faults[0]: 0.8, faults[-1]: 0.3}, leak=0.1),
        splitting("s", chance.choice([0.2, 1.0]), faults[:1], cluster="in"),
    )
    trouble = Trouble(
        independent({fault: chance.choice([0.1, 0.3, 0.6]) for fault in faults}),
        actions,
        questions,
        clusters=(Cluster("in", 3),),
        service=chance.choice([15.0, 40.0]),
    )
    best = optimum(trouble)
    assert expected_cost(trouble, best.plan) == pytest.approx(best.cost, abs=EXACT)
    names = [action.name for action in actions]
    for length in range(len(names) + 1):
        for order in permutations(names, length):
            assert best.cost <= expected_cost(trouble, [*order, "service"]) + EXACT


def test_a_free_question_that_tells_all_gives_the_cost_of_knowing() -> None:
    worlds = single({"1": 0.5, "2": 0.5})
    actions = (Action("A1", 3, {"1": 1.0}), Action("A2", 5, {"2": 1.0}))
    assert optimum(Trouble(worlds, actions, (splitting("Q", 0, "1"),))).cost == pytest.approx(4, abs=EXACT)
    assert optimum(Trouble(worlds, actions)).cost == pytest.approx(5.5, abs=EXACT)


def test_one_test_after_two_repairs_may_be_cheaper_than_a_test_after_each() -> None:
    """Two faults surely present, repairs 1 each, a test 4: 1 + 1 and it is known to work without a test.

    With the second fault at 0.9: testing once after both costs 6, testing between costs 1+4+0.9·(1+…).
    """
    worlds = (World(frozenset({"1", "2"}), 0.9), World(frozenset({"1"}), 0.1))
    actions = tuple(Action(f"A{fault}", 1, {fault: 0.9}, tested=False) for fault in "12")
    trouble = Trouble(worlds, actions, test=4, service=100)
    once = expected_cost(trouble, ["A1", "A2", "test", "service"])
    works = 0.9 * 0.9 * 0.9 + 0.1 * 0.9
    assert once == pytest.approx(6 + (1 - works) * 100, abs=EXACT)
    each = expected_cost(trouble, ["A1", "test", "A2", "test", "service"])
    assert optimum(trouble).cost == pytest.approx(once, abs=EXACT)
    assert once < each


def test_a_question_whose_chances_are_given_is_weighed_by_them() -> None:
    worlds = single({"1": 0.5, "2": 0.5})
    given = {"1": {"hot": 0.7, "warm": 0.2, "cold": 0.1}, "2": {"hot": 0.1, "warm": 0.2, "cold": 0.7}}
    question = Question("touch", 0.5, lambda faults: given[min(faults)])
    actions = (Action("A1", 10, {"1": 1.0}), Action("A2", 10, {"2": 1.0}))
    best = optimum(Trouble(worlds, actions, (question,)))
    assert best.plan.steps == ("touch",)
    assert best.cost == pytest.approx(0.5 + 10 + 10 * (0.05 + 0.05 + 0.1), abs=EXACT)
