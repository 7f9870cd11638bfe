"""The belief against a general Bayesian-network library, and against published reference posteriors.

Of the discrete networks that come with general libraries, *asia* can be expressed: all its variables are
binary, so that its whole joint is one cluster. *alarm* cannot (variables of three and four values), nor
*win95pts* (76 variables joined by conditional tables that are no noisy-OR: not two layers, and far past any
cluster), nor *hepar2*, *pathfinder*, *insurance* and the like for the same two reasons.
"""

from itertools import product

import pytest
from general_network import Network, leaks_of, posterior, random_network
from machines import facts_of, fault, machine, yes_no

from powergood.diagnosis.belief import believe
from powergood.diagnosis.compiled import BaseSpec, Cluster
from powergood.record.model import GOOD, Finding
from powergood.record.timeline import timeline

EXACT = 1e-9


def ours(network: Network) -> list[float]:
    """Return each fault's chance as the belief has it."""
    faults = [
        fault(
            f"f{number}",
            "",
            prior,
            {place: links[number] for place, links in enumerate(network.parents) if number in links},
        )
        for number, prior in enumerate(network.priors)
    ]
    bases = [BaseSpec(f"b{number}", "", "a") for number in range(len(network.leaks))]
    checks = [yes_no(f"c{number}", number, leak) for number, leak in enumerate(network.leaks)]
    found = [Finding(f"c{number}", "bad" if failed else GOOD) for number, failed in enumerate(network.failed)]
    held = believe(machine(faults, bases, checks), timeline(facts_of(list(found))))
    assert held.error == 0
    present = held.present()
    return [present[number, ""] for number in range(len(faults))]


def test_the_library_has_two_noisy_or_nodes_and_ours_is_the_net_one() -> None:
    leak, strengths = 0.2, [0.5, 0.6]
    assert leaks_of("addNoisyORNet", leak, strengths) == pytest.approx([0.2, 0.6, 0.68], abs=1e-7)
    assert leaks_of("addNoisyORCompound", leak, strengths) == pytest.approx([0.2, 0.5, 0.6], abs=1e-7)


@pytest.mark.parametrize("seed", range(12))
def test_belief_agrees_with_the_library_when_every_finding_is_a_node(seed: int) -> None:
    network = random_network(seed, faults=40 + 4 * seed, findings=10, failed=2 + seed % 4, parents=5)
    assert ours(network) == pytest.approx(posterior(network, whole=True), abs=EXACT)


@pytest.mark.parametrize(
    ("faults", "findings", "failed", "seed"),
    [
        (faults, findings, failed, seed)
        for (faults, findings, failed) in [
            (40, 10, 3), (40, 20, 7), (60, 20, 6), (60, 30, 8), (80, 20, 6), (80, 30, 9), (120, 30, 10),
        ]
        for seed in range(3)
    ],
)  # fmt: skip
def test_belief_agrees_with_the_library_at_the_size_of_a_machine(
    faults: int, findings: int, failed: int, seed: int
) -> None:
    network = random_network(100 + seed, faults=faults, findings=findings, failed=failed)
    assert ours(network) == pytest.approx(posterior(network, whole=False), abs=EXACT)


# --- a published network --------------------------------------------------------------------------------

# Lauritzen and Spiegelhalter, "Local computations with probabilities on graphical structures and their
# application to expert systems", Journal of the Royal Statistical Society B, 1988: the chest-clinic
# example; its tables as recalled, and confirmed by P(e) of the first case below to eight digits.
CHEST = ("tub", "lung", "bronc", "smoke", "asia", "xray", "dysp")


def chest_joint() -> tuple[float, ...]:
    """Return the joint of all variables of the network (its OR node summed out), first name lowest bit."""
    table = []
    for bits in product((0, 1), repeat=len(CHEST)):
        tub, lung, bronc, smoke, asia, xray, dysp = reversed(bits)
        either = tub or lung
        chances = (
            (asia, 0.01),
            (smoke, 0.5),
            (tub, 0.05 if asia else 0.01),
            (lung, 0.1 if smoke else 0.01),
            (bronc, 0.6 if smoke else 0.3),
            (xray, 0.98 if either else 0.05),
            (dysp, {(1, 1): 0.9, (1, 0): 0.7, (0, 1): 0.8, (0, 0): 0.1}[int(either), bronc]),
        )
        weight = 1.0
        for value, chance in chances:
            weight *= chance if value else 1 - chance
        table.append(weight)
    return tuple(table)


# Reference posteriors computed with three exact algorithms of pyAgrum 3.3.1 on the network file that
# general libraries ship (agreeing within 3e-16), and with a second library (within 2e-8). The file's tables
# are read at single precision, hence the tolerance.
SINGLE = 2e-7
CHEST_CASES = [
    (
        {"dysp": 1},
        0.43597061918628,
        {"tub": 0.018845306, "lung": 0.102759223, "bronc": 0.833967341, "smoke": 0.633996874},
    ),
    (
        {"dysp": 1, "xray": 1},
        0.07067010812963445,
        {"tub": 0.113933319, "lung": 0.621252798, "bronc": 0.681868555, "asia": 0.013983660},
    ),
    (
        {"dysp": 1, "xray": 0, "asia": 1, "smoke": 0},
        0.0013894082553317663,
        {"tub": 0.002734977, "lung": 0.000546995, "bronc": 0.772830098},
    ),
]


@pytest.mark.parametrize(("seen", "chance", "expected"), CHEST_CASES)
def test_the_chest_clinic_network_written_as_one_cluster_gives_its_reference_posteriors(
    seen: dict[str, int], chance: float, expected: dict[str, float]
) -> None:
    faults = [fault(name, "", 0.5, {number: 1.0}) for number, name in enumerate(CHEST)]
    bases = [BaseSpec(name, "", "a") for name in CHEST]
    checks = [yes_no(name, number, leak=0.0) for number, name in enumerate(CHEST)]
    model = machine(faults, bases, checks, clusters=[Cluster(tuple(range(len(CHEST))), chest_joint())])
    found = [Finding(name, "bad" if value else GOOD) for name, value in seen.items()]
    held = believe(model, timeline(facts_of(list(found))))
    assert held.weight == pytest.approx(chance, abs=SINGLE)
    present = held.present()
    for name, value in expected.items():
        assert present[CHEST.index(name), ""] == pytest.approx(value, abs=SINGLE)
