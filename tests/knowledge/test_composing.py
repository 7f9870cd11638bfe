"""Family, subsystems and sheet become one machine with unique names that all resolve."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from powergood.knowledge import (
    Answer,
    Area,
    Check,
    Claim,
    Complaint,
    Family,
    Fault,
    Fix,
    Function,
    Gate,
    IntakeFact,
    MachineModel,
    ModelSheet,
    Opening,
    Part,
    Problem,
    Rung,
    Sign,
    Subsystem,
    ToldFinding,
    compose,
    digest,
)
from powergood.knowledge.cycles import found_circles
from powergood.knowledge.model import StandsFor


def some(value: float) -> Claim:
    """Return an invented number."""
    return Claim(value, "judgement")


ONE = some(1)

SUPPLY = Subsystem(
    format=1,
    id="supply",
    title="Cells, and mains as the other way",
    area="power",
    parts=(Part("cell", "Cell", "power", copies=2), Part("plug", "Plug", "power", optional=True)),
    functions=(
        Function("from-cell", "Runs from cells", "power", of=("cell",)),
        Function("from-plug", "Runs from mains", "power", of=("plug",)),
        Function("power", "Power", "power", either=("from-plug", "from-cell")),
    ),
    signs=(Sign("crust", "Crust", "power"),),
    faults=(
        Fault("cell.flat", "Flat", {"from-cell": ONE}, frequency=ONE),
        Fault("cell.leaked", "Leaked", signs={"crust": ONE}, frequency=ONE, makes={"plug.eaten": some(0.1)}),
        Fault("plug.eaten", "Eaten", {"from-plug": ONE}, frequency=ONE),
    ),
    checks=(
        Check("try-cells", "Try on cells", ONE, some(0.01), "start", of="from-cell", out=("plug",)),
        Check("try-plug", "Try on mains", ONE, some(0.01), "start", of="from-plug", out=("cell",)),
        Check("need-plug", "Try both", ONE, some(0.01), "start", of="power", fitted=("plug",)),
        Check("known-plug", "Try another plug", ONE, some(0.01), "start", of="power", instead=("plug",)),
        Check("each-cell", "One cell at a time", ONE, some(0.01), "off", of="crust", each_copy_of="cell"),
        Check(
            "how-far",
            "How far?",
            ONE,
            some(0.01),
            "start",
            rungs=(Rung("from-plug", "No mains"), Rung("power", "Nothing")),
        ),
    ),
    fixes=(
        Fix("renew-cell", "Renew a cell", "replace", ONE, replaces="cell"),
        Fix("renew-plug", "Renew the plug", "replace", ONE, replaces="plug"),
        Fix("scrape-plug", "Scrape", "clean", ONE, cures={"plug.eaten": some(0.5)}),
        Fix("wipe", "Wipe", "clean", ONE, cures={"plug.eaten": some(0.1), "cell.leaked": some(0.1)}),
        Fix("shake", "Shake", "set", ONE, cures={"cell.flat": some(0.1)}, disturbs={"plug.eaten": some(0.1)}),
    ),
)

BOX = Family(
    format=1,
    id="box",
    title="Box",
    years="",
    expected_faults=ONE,
    subsystems=("supply",),
    areas=(Area("power", "Power", some(0.01), "Change it", ONE, ONE),),
    openings=(Opening("lid", "Lid", ONE, ONE), Opening("cage", "Cage", ONE, ONE, behind=("lid",))),
    gates=(
        Gate("plug-seen", "Plug seen", "Seen?", "", ("step:renew-plug",)),
        Gate("all-seen", "All seen", "Seen?", "", ("power", "step:scrape-plug")),
    ),
    complaints=(
        Complaint("no-mains", "No mains", findings=(ToldFinding("try-plug", "bad"),)),
        Complaint("dead", "Dead", findings=(ToldFinding("try-cells", "bad"), ToldFinding("try-plug", "bad"))),
        Complaint("odd", "Odd", ask="Which?", answers=(Answer("A", "no-mains"), Answer("B", "dead"))),
        Complaint("odder", "Odder", ask="Which?", answers=(Answer("A", "no-mains"),)),
        Complaint("oddest", "Oddest", ask="Which?", answers=(Answer("A", "odder"),)),
    ),
    intake=(
        IntakeFact("damp", "Damp?", {"plug.eaten": some(3), "power": some(2)}),
        IntakeFact("chewed", "Chewed?", {"plug": some(3)}),
    ),
)


def sheet(**fields: object) -> ModelSheet:
    """Return a sheet of the box family."""
    return ModelSheet(format=1, id="mill-box", title="Mill box", family="box", **fields)  # type: ignore[arg-type]


def made(family: Family = BOX, *subsystems: Subsystem, laid_over: ModelSheet | None = None) -> MachineModel:
    """Return a machine that is expected to compose."""
    machine = compose(family, subsystems or (SUPPLY,), laid_over)
    assert isinstance(machine, MachineModel), machine
    return machine


def ids(items: tuple[object, ...]) -> set[str]:
    """Return the ids of items."""
    return {item.id for item in items}  # type: ignore[attr-defined]


def problems(family: Family = BOX, *subsystems: Subsystem, laid_over: ModelSheet | None = None) -> list[str]:
    """Return what stands in the way of a machine that is expected not to compose."""
    found = compose(family, subsystems or (SUPPLY,), laid_over)
    assert isinstance(found, tuple)
    assert all(isinstance(problem, Problem) for problem in found)
    return [str(problem) for problem in found]


def test_a_family_composes_with_everything_its_subsystems_say() -> None:
    machine = made()
    assert ids(machine.parts) == {"cell", "plug"}
    assert ids(machine.fixes) == {"renew-cell", "renew-plug", "scrape-plug", "wipe", "shake"}
    assert (machine.id, machine.family, machine.sheet) == ("box", "box", "")
    assert machine.parts[0].copies == 2


def test_copies_stay_counted_and_are_set_by_the_sheet() -> None:
    machine = made(laid_over=sheet(copies={"cell": 4}))
    assert {part.id: part.copies for part in machine.parts} == {"cell": 4, "plug": 1}
    assert len(machine.faults) == 3


def test_a_gate_that_holds_power_but_for_its_proof_holds_a_look_of_the_sheets_own_too() -> None:
    proof = Gate("proven", "Proven", "Is it?", "It burns.", ("power", "step:wipe"), but=("try-cells",))
    family = replace(BOX, gates=(proof,))
    own = Check("own", "Start it", ONE, some(0.01), "start", of="power", good="Runs", bad="Dead")
    machine = made(family, laid_over=sheet(checks=(own,)))
    powered = {f"step:{check.id}" for check in machine.checks if check.power != "off"}
    assert "step:own" in powered
    assert set(machine.gates[0].holds) == {*powered, "step:wipe"} - {"step:try-cells"}


def test_what_a_gate_leaves_free_must_exist_and_the_gate_must_hold_power() -> None:
    wrong = Gate("proven", "Proven", "Is it?", "It burns.", ("step:wipe",), but=("try-sells",))
    said = " ".join(problems(replace(BOX, gates=(wrong,))))
    assert "`proven` leaves steps free with `but`; it has to hold `power` for that" in said
    assert "no check or stage `try-sells`; did you mean `try-cells`?" in said


def test_an_item_of_the_sheet_replaces_the_one_of_its_id_and_a_new_one_joins() -> None:
    own = sheet(
        faults=(Fault("cell.flat", "Flat again", {"from-cell": some(0.5)}, frequency=ONE),),
        openings=(
            Opening("cage", "Riveted cage", some(40), ONE, behind=("lid",)),
            Opening("foil", "Foil", ONE, ONE),
        ),
    )
    machine = made(laid_over=own)
    assert {fault.id: fault.title for fault in machine.faults}["cell.flat"] == "Flat again"
    assert {opening.id: opening.minutes.value for opening in machine.openings} == {
        "lid": 1,
        "cage": 40,
        "foil": 1,
    }
    assert len(machine.faults) == 3


def test_a_part_of_which_there_are_none_goes_with_all_that_needs_it() -> None:
    machine = made(laid_over=sheet(copies={"plug": 0}))
    assert ids(machine.parts) == {"cell"}
    assert ids(machine.faults) == {"cell.flat", "cell.leaked"}
    assert ids(machine.functions) == {"from-cell", "power"}
    assert ids(machine.checks) == {"try-cells", "each-cell", "how-far"}
    assert ids(machine.fixes) == {"renew-cell", "wipe", "shake"}
    assert ids(machine.gates) == {"all-seen"}
    assert ids(machine.intake) == {"damp"}
    assert ids(machine.complaints) == {"dead", "odd"}


def test_a_tick_stands_for_no_look_at_what_is_gone() -> None:
    said = (StandsFor("try-cells", "good"), StandsFor("try-plug", "good", box="It is whole"))
    seen = Gate("seen", "Seen", "Seen?", "", ("step:scrape-plug", "step:renew-cell"), stands_for=said)
    family = replace(BOX, gates=(seen,))
    assert made(family).gates[0].stands_for == said
    assert made(family, laid_over=sheet(copies={"plug": 0})).gates[0].stands_for == said[:1]


def test_links_to_what_is_gone_vanish() -> None:
    machine = made(laid_over=sheet(copies={"plug": 0}))
    by_id = {item.id: item for kind in (machine.functions, machine.checks, machine.fixes) for item in kind}
    assert by_id["power"].either == ("from-cell",)
    assert by_id["try-cells"].out == ()
    assert [rung.of for rung in by_id["how-far"].rungs] == ["power"]
    assert set(by_id["wipe"].cures) == {"cell.leaked"}
    assert by_id["shake"].disturbs == {}
    assert {fault.id: dict(fault.makes) for fault in machine.faults} == {"cell.flat": {}, "cell.leaked": {}}
    assert machine.gates[0].holds == ("power",)
    assert set(machine.intake[0].multiplies) == {"power"}
    assert [answer.complaint for answer in machine.complaints[1].answers] == ["dead"]


def test_a_function_whose_every_way_is_gone_goes_too() -> None:
    machine = made(laid_over=sheet(copies={"plug": 0, "cell": 0}))
    assert machine.functions == ()
    assert machine.checks == ()


def test_a_sign_that_nothing_shows_any_more_goes_with_its_checks() -> None:
    family = replace(BOX, complaints=())
    shown_by_plug = replace(
        SUPPLY,
        faults=(*SUPPLY.faults[:1], Fault("plug.eaten", "Eaten", signs={"crust": ONE}, frequency=ONE)),
        fixes=SUPPLY.fixes[:3],
    )
    assert ids(made(family, shown_by_plug).signs) == {"crust"}
    machine = made(family, shown_by_plug, laid_over=sheet(copies={"plug": 0}))
    assert machine.signs == ()
    assert "each-cell" not in ids(machine.checks)


def test_what_is_given_is_left_as_it_was() -> None:
    before = digest(SUPPLY, BOX)
    made(laid_over=sheet(copies={"plug": 0}))
    assert digest(SUPPLY, BOX) == before


def test_problems_are_values_with_their_place_and_all_are_found() -> None:
    broken = replace(
        SUPPLY,
        faults=(*SUPPLY.faults, SUPPLY.faults[0], Fault("cell.odd", "Odd", {"nothing": Claim(0.5, "S4")})),
        fixes=(*SUPPLY.fixes, Fix("mend", "Mend", "repair", ONE, open=("lidd",))),
    )
    assert problems(replace(BOX, subsystems=("supply", "suply")), broken) == [
        "family box subsystems.1: there is no subsystem `suply`; did you mean `supply`?",
        "subsystem supply faults.cell.flat.id: the id `cell.flat` is used twice (the first is above)",
        "subsystem supply faults.cell.odd.breaks.nothing: there is no function `nothing`",
        "subsystem supply fixes.mend.open.0: there is no opening `lidd`; did you mean `lid`?",
        "subsystem supply faults.cell.odd.breaks.nothing: there is no source `S4`; or write `judgement`",
    ]


def test_a_circle_of_functions_is_named() -> None:
    functions = (
        Function("a", "A", "power", needs=("b",)),
        Function("b", "B", "power", either=("c",)),
        Function("c", "C", "power", needs=("a",)),
    )
    (said,) = problems(replace(BOX, functions=functions))
    assert "`a` needs `b` needs `c` needs `a`" in said


def test_a_circle_of_openings_is_named() -> None:
    openings = (
        Opening("lid", "Lid", ONE, ONE, behind=("cage",)),
        Opening("cage", "Cage", ONE, ONE, behind=("lid",)),
    )
    (said,) = problems(replace(BOX, openings=openings))
    assert "`cage` is behind `lid` is behind `cage`" in said


def test_a_sheet_of_another_family_is_a_problem() -> None:
    assert "is of family `crate`" in problems(laid_over=replace(sheet(), family="crate"))[0]


@given(st.integers(1, 7).flatmap(lambda n: st.lists(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1)))))
def test_circles_are_found_exactly_where_there_are_some(pairs: list[tuple[int, int]]) -> None:
    """Compared with Kahn's way: what is left after taking away, again and again, all that lead nowhere."""
    edges: dict[str, list[str]] = {str(n): [] for n in range(7)}
    for a, b in pairs:
        edges[str(a)].append(str(b))
    left = set(edges)
    while free := {name for name in left if not left.intersection(edges[name])}:
        left -= free
    circles = found_circles(edges)
    assert bool(circles) == bool(left)
    for circle in circles:
        assert len(set(circle)) == len(circle)
        assert circle[0] == min(circle)
        for name, after in zip(circle, (*circle[1:], circle[0]), strict=True):
            assert after in edges[name]


KINDS = ("parts", "functions", "signs", "faults", "checks", "fixes")


@given(st.randoms(use_true_random=False))
def test_the_digest_of_a_machine_does_not_depend_on_the_order_of_writing(random) -> None:
    def shuffled(items):
        return tuple(random.sample(items, len(items)))

    def turned(links):
        return dict(random.sample(list(links.items()), len(links)))

    parts = {kind: shuffled(getattr(SUPPLY, kind)) for kind in KINDS}
    parts["fixes"] = tuple(replace(fix, cures=turned(fix.cures)) for fix in parts["fixes"])
    half = random.randrange(4)
    first = replace(SUPPLY, **{**parts, "faults": parts["faults"][:half]})
    second = Subsystem(1, "rest", "Rest", "power", faults=parts["faults"][half:])
    names = shuffled(("supply", "rest"))
    family = replace(
        BOX,
        subsystems=names,
        openings=shuffled(BOX.openings),
        complaints=shuffled(BOX.complaints),
        intake=tuple(replace(fact, multiplies=turned(fact.multiplies)) for fact in shuffled(BOX.intake)),
    )
    assert made(family, *shuffled((first, second))).digest == made().digest


def test_the_digest_changes_with_every_meaning() -> None:
    other = replace(SUPPLY, checks=(replace(SUPPLY.checks[0], minutes=some(2)), *SUPPLY.checks[1:]))
    longer = replace(SUPPLY, checks=(replace(SUPPLY.checks[0], ask="Try on cells."), *SUPPLY.checks[1:]))
    either = replace(SUPPLY.functions[2], either=("from-cell", "from-plug"))
    turned = replace(SUPPLY, functions=(*SUPPLY.functions[:2], either))
    found = {
        made().digest,
        *(made(BOX, each).digest for each in (other, longer, turned)),
        made(laid_over=sheet()).digest,
    }
    assert len(found) == 5


def test_whole_and_decimal_numbers_of_one_value_have_one_digest() -> None:
    assert digest(Claim(1, "judgement")) == digest(Claim(1.0, "judgement"))
    assert digest(Claim(1, "judgement")) != digest(Claim(1.5, "judgement"))
