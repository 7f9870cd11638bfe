"""Ids never reach a person: each has words."""

from powergood.bench.wording import Wording


def test_what_nobody_listed_is_named_by_its_area() -> None:
    words = Wording(areas={"picture": "Picture"})
    assert words.fault("something-else.picture") == "Something else here: Picture"
    assert words.part("something-else.picture") == "Something else here: Picture"


def test_a_copy_of_a_fault_goes_by_the_title_of_the_fault() -> None:
    assert Wording(faults={"memory.bad": "Module bad"}).fault("memory.2.bad") == "Module bad"
