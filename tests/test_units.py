"""Quantities as people write them.

Values follow the SI Brochure, 9th edition (prefixes: table 7; degree Celsius: section 2.3.1), and the
space between groups of three digits its section 5.4.4.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from powergood.errors import BadInput
from powergood.units import (
    PREFIXES,
    Quantity,
    checked,
    difference,
    in_100,
    in_100_finely,
    in_minutes,
    parse,
    shown,
    within,
)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("4.87 V", 4.87, "V"),
        ("4,7 kΩ", 4700.0, "Ω"),
        ("0.3mA", 0.0003, "A"),
        ("1 µF", 1e-6, "F"),
        ("470uF", 470e-6, "F"),
        ("12 ohm", 12.0, "Ω"),
        ("10 Kohm", 10_000.0, "Ω"),
        ("85 °C", 85.0, "°C"),
        ("-20 C", -20.0, "°C"),
        ("−12 V", -12.0, "V"),
        ("10 000 Ω", 10_000.0, "Ω"),
        ("0,300 mA", 0.0003, "A"),
        ("999.96 mV", 0.99996, "V"),
        ("33 MHz", 33e6, "Hz"),
        ("2 h", 7200.0, "s"),
        ("2 H", 2.0, "H"),
        ("60 mAh", 0.06, "Ah"),
        ("5 mm", 0.005, "m"),
        ("4200 rpm", 4200.0, "rpm"),
        (".5 A", 0.5, "A"),
        ("1.5e3 V", 1500.0, "V"),
    ],
)
def test_what_people_write_is_read_exactly(text: str, value: float, unit: str) -> None:
    assert parse(text) == Quantity(value, unit)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("4.7 khm", "did you mean “kohm”?"),
        ("5", "has no unit"),
        ("V", "does not start with a number"),
        ("", "does not start with a number"),
        ("4,700 V", "can be read two ways"),
        ("100 mhz", "can be read two ways"),
        ("1.2.3 V", "two decimal points"),
        ("5 V AC", "no unit known here"),
        ("-5 ohm", "never below 0"),
        ("-300 °C", "colder than -273.15"),
        ("nan V", "does not start with a number"),
        ("nan", "is no reading"),
        ("-inf", "is no reading"),
        ("OL", "keep it as a note"),
        ("1e999 V", "finite"),
    ],
)
def test_what_cannot_be_a_reading_is_refused_with_a_reason(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says.replace("?", r"\?")):
        parse(text)


def test_a_quantity_of_another_kind_than_wanted_is_refused() -> None:
    assert parse("5 V", expect="V") == Quantity(5.0, "V")
    with pytest.raises(BadInput, match="V is wanted here"):
        parse("5 A", expect="V")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (4.87, "V", "4.87 V"),
        (4700, "Ω", "4.7 kΩ"),
        (0.0003, "A", "300 µA"),
        (0.99996, "V", "1 V"),
        (999.96, "Ω", "1 kΩ"),
        (7200, "s", "2 h"),
        (90, "s", "1.5 min"),
        (-12, "V", "-12 V"),
        (85, "°C", "85 °C"),
        (0, "V", "0 V"),
        (5e12, "Ω", "5000 GΩ"),
        (2e-14, "F", "0.02 pF"),
    ],
)
def test_a_quantity_is_printed_with_the_prefix_people_would_use(value: float, unit: str, text: str) -> None:
    assert shown(Quantity(value, unit)) == text


@given(
    st.floats(min_value=1e-11, max_value=1e11),
    st.sampled_from(["V", "A", "Ω", "F", "H", "W", "Hz", "s", "m", "g", "Ah", "Wh"]),
)
def test_what_is_printed_can_be_read_again(value: float, unit: str) -> None:
    again = parse(shown(Quantity(value, unit), digits=6))
    assert again.unit == unit
    assert again.value == pytest.approx(value, rel=1e-5)


@given(st.integers(min_value=1, max_value=999), st.sampled_from(sorted(PREFIXES)))
def test_a_prefix_scales_by_its_power_of_ten(number: int, prefix: str) -> None:
    assert parse(f"{number} {prefix}V").value == float(f"{number}e{PREFIXES[prefix]}")


def test_quantities_of_one_unit_are_compared_and_others_refused() -> None:
    assert difference(parse("5.1 V"), parse("5 V")) == pytest.approx(0.1)
    with pytest.raises(BadInput, match="cannot be compared"):
        difference(parse("5 V"), parse("5 A"))


def test_the_limits_of_a_tolerance_belong_to_it() -> None:
    assert within(parse("4.75 V"), parse("5 V"), 0.05)
    assert within(parse("5.25 V"), parse("5 V"), 0.05)
    assert not within(parse("4.74 V"), parse("5 V"), 0.05)
    assert within(parse("-12.6 V"), parse("-12 V"), 0.05)


@given(st.floats(), st.sampled_from(["V", "Ω", "°C"]))
def test_no_quantity_is_other_than_finite_and_possible(value: float, unit: str) -> None:
    try:
        quantity = checked(value, unit)
    except BadInput:
        assert not math.isfinite(value) or value < 0
    else:
        assert math.isfinite(quantity.value)
        assert unit != "Ω" or quantity.value >= 0
        assert unit != "°C" or quantity.value >= -273.15


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "under 1 in 100"),
        (0.0099, "under 1 in 100"),
        (0.01, "1 in 100"),
        (0.05, "5 in 100"),
        (0.143, "14 in 100"),
        (0.99, "99 in 100"),
        (0.991, "over 99 in 100"),
        (1.0, "over 99 in 100"),
    ],
)
def test_a_chance_is_told_as_so_many_in_100(chance: float, words: str) -> None:
    assert in_100(chance) == words


@given(st.floats(0.01, 0.99))
def test_what_is_told_of_a_chance_is_never_off_by_more_than_half_in_100(chance: float) -> None:
    assert abs(int(in_100(chance).removesuffix(" in 100")) - 100 * chance) <= 0.5 + 1e-9


@pytest.mark.parametrize(
    ("chance", "digits", "words"),
    [
        (0.00005, 2, "under 0.01 in 100"),
        (0.0042, 2, "0.42 in 100"),
        (0.0444, 2, "4.4 in 100"),
        (0.1556, 2, "16 in 100"),
        (0.985, 3, "98.5 in 100"),
        (0.9999, 2, "100 in 100"),
    ],
)
def test_where_the_number_is_the_matter_it_keeps_its_digits(chance: float, digits: int, words: str) -> None:
    assert in_100_finely(chance, digits) == words


@pytest.mark.parametrize(
    ("value", "words"),
    [(0, "0 min"), (0.3, "under 1 min"), (59.6, "1 h"), (75, "1 h 15 min"), (4000, "3 days")],
)
def test_minutes_are_said_as_people_say_them(value: float, words: str) -> None:
    assert in_minutes(value) == words
