"""Quantities as people write them: parsed, printed and compared; "4.87 V", "4,7 kΩ", "85 °C", "14 in 100".

Values are kept in the unit without prefix: V, A, Ω, F, H, W, Hz, s, m, g, Ah, Wh, rpm, %; temperatures in °C.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from powergood.errors import BadInput

ABSOLUTE_ZERO_C = -273.15
"""The SI Brochure, 9th edition, section 2.3.1: 0 °C is 273.15 K."""

PREFIXES: Mapping[str, int] = {
    "p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9,
}  # fmt: skip
"""The powers of ten of the SI prefixes in use at a bench. The SI Brochure, 9th edition, table 7."""

_PREFIX_SPELLINGS: Mapping[str, str] = {"u": "µ", "μ": "µ", "K": "k"}

_SPELLINGS: Mapping[str, tuple[str, ...]] = {
    "V": ("v", "volt", "volts"),
    "A": ("a", "amp", "amps", "ampere", "amperes"),
    "Ω": ("ω", "ohm", "ohms", "r"),
    "F": ("f", "farad", "farads"),
    "H": ("henry", "henries"),
    "W": ("w", "watt", "watts"),
    "Hz": ("hz", "hertz"),
    "s": ("s", "sec", "second", "seconds"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "g": ("g", "gram", "grams", "gramme", "grammes"),
    "Ah": ("ah",),
    "Wh": ("wh",),
    "°C": ("°c", "c", "degc", "celsius"),
    "rpm": ("rpm",),
    "%": ("%", "percent"),
}
"""Each unit with the spellings taken for it, in small letters."""

_PLAIN = frozenset({"°C", "rpm", "%"})
"""Units that take no prefix."""

_OTHERS: Mapping[str, tuple[str, int]] = {
    "min": ("s", 60), "minute": ("s", 60), "minutes": ("s", 60),
    "h": ("s", 3600), "hour": ("s", 3600), "hours": ("s", 3600),
}  # fmt: skip
"""Spellings of units that are a multiple of one above."""

_NOT_NEGATIVE = frozenset({"Ω", "F", "H", "Hz", "s", "m", "g", "Ah", "Wh", "rpm"})
"""Units whose readings cannot lie below nought."""

_NUMBER = re.compile(
    r"(?P<number>[-+−]?(?:[0-9]{1,3}(?:[ \u00a0\u2009\u202f][0-9]{3})+|[0-9]+)?(?:[.,][0-9]*)?"
    r"(?:[eE][-+−]?[0-9]{1,4})?)\s*(?P<unit>[^\s0-9].*)?"
)
_AMBIGUOUS = re.compile(r"[-+−]?[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit. Invariant: finite, in the unit without prefix, and possible for that unit."""

    value: float
    unit: str

    def __str__(self) -> str:
        return shown(self)


def parse(text: str, expect: str = "") -> Quantity:
    """Return the quantity that `text` says; `expect` is the unit wanted, if only one will do.

    Raises
    ------
    BadInput : the text is no quantity, has another unit, or could not be read off any meter.
    """
    stripped = text.strip()
    if stripped.lower().lstrip("+-−") in ("nan", "inf", "infinity", "∞", "ol", "o.l"):
        raise BadInput(f"“{text}” is no reading; if the meter shows over-range, keep it as a note")
    found = _NUMBER.fullmatch(stripped)
    if not found or not any(letter.isdigit() for letter in found["number"]):
        raise BadInput(f"“{text}” does not start with a number; write it like “4.87 V”")
    value = _number(found["number"])
    if not found["unit"]:
        raise BadInput(f"“{text}” has no unit; write it like “{found['number'].strip()} {expect or 'V'}”")
    if found["unit"][0] in ".,":
        raise BadInput(f"“{text}” has two decimal points")
    unit, factor = _unit(found["unit"].strip())
    if expect and unit != expect:
        raise BadInput(f"“{text}” is in {unit}; {expect} is wanted here")
    return checked(float(value * factor), unit)


def last_digit(text: str) -> float:
    """Return what one count of the last digit of a reading is worth: 0.01 for `4.87 V`, 1 for `12 kΩ` less
    its factor, so 1000.

    Raises
    ------
    BadInput : the text is no quantity.
    """
    parse(text)
    found = _NUMBER.fullmatch(text.strip())
    assert found is not None
    exponent = _number(found["number"]).as_tuple().exponent
    factor = _unit(found["unit"].strip())[1]
    return float(Decimal(1).scaleb(int(exponent)) * factor)


def checked(value: float, unit: str) -> Quantity:
    """Return a quantity, if there can be such a reading; `BadInput` says why not."""
    if not math.isfinite(value):
        raise BadInput("a reading must be a finite number")
    if value < 0 and unit in _NOT_NEGATIVE:
        raise BadInput(f"{value:g} {unit} cannot be: {unit} is never below 0; look at the sign")
    if unit == "°C" and value < ABSOLUTE_ZERO_C:
        raise BadInput(f"{value:g} °C cannot be: nothing is colder than {ABSOLUTE_ZERO_C} °C")
    return Quantity(value, unit)


def _number(text: str) -> Decimal:
    if _AMBIGUOUS.fullmatch(text):
        plain = text.replace(",", "")
        raise BadInput(f"“{text}” can be read two ways; write “{plain}” or “{text.replace(',', '.')}”")
    plain = re.sub(r"[ \u00a0\u2009\u202f]", "", text).replace(",", ".").replace("−", "-")
    return Decimal(plain)


def _unit(text: str) -> tuple[str, Decimal]:
    """Return the unit without prefix and the factor that its spelling stands for."""
    if text == "mhz":
        raise BadInput("“mhz” can be read two ways; write “MHz” for a million or “mHz” for a thousandth")
    if text not in _SPELLINGS and text.lower() in _OTHERS:
        unit, factor = _OTHERS[text.lower()]
        return unit, Decimal(factor)
    if unit := _whole(text):
        return unit, Decimal(1)
    prefix, unit = _PREFIX_SPELLINGS.get(text[0], text[0]), _whole(text[1:].strip())
    if prefix in PREFIXES and unit and unit not in _PLAIN:
        return unit, Decimal(1).scaleb(PREFIXES[prefix])
    near = difflib.get_close_matches(text, _known(), n=1, cutoff=0.6)
    hint = f"; did you mean “{near[0]}”?" if near else f"; units are {', '.join(_SPELLINGS)}, min, h"
    raise BadInput(f"“{text}” is no unit known here{hint}")


def _whole(text: str) -> str:
    """Return the unit that a spelling without prefix stands for; empty when it stands for none."""
    if text in _SPELLINGS:
        return text
    return next((unit for unit, names in _SPELLINGS.items() if text.lower() in names), "")


def _known() -> list[str]:
    units = ["ohm", *(unit for unit in _SPELLINGS if unit not in _PLAIN)]
    return [*_SPELLINGS, *_OTHERS, *(prefix + unit for unit in units for prefix in PREFIXES)]


def shown(quantity: Quantity, digits: int = 4) -> str:
    """Return a quantity as people write it, with the prefix that leaves one to three digits in front."""
    value, unit = quantity.value, quantity.unit
    if unit == "s" and value >= 60:
        return f"{value / 3600:.{digits}g} h" if value >= 3600 else f"{value / 60:.{digits}g} min"
    if unit in _PLAIN or value == 0:
        return f"{value:.{digits}g} {unit}"
    rounded = Decimal(f"{value:.{digits}g}")
    power = rounded.adjusted() // 3 * 3
    name = min(PREFIXES, key=lambda prefix: abs(PREFIXES[prefix] - power))
    return f"{float(rounded.scaleb(-PREFIXES[name])):.{digits}g} {name}{unit}"


def difference(one: Quantity, other: Quantity) -> float:
    """Return how far `one` lies above `other`, in their common unit; `BadInput` when they have none."""
    if one.unit != other.unit:
        raise BadInput(f"{shown(one)} and {shown(other)} cannot be compared: one is {one.unit}")
    return one.value - other.value


def within(reading: Quantity, nominal: Quantity, tolerance: float) -> bool:
    """Whether a reading lies within `tolerance` (0.05 for ±5 %) of a nominal value, limits included."""
    allowed = abs(nominal.value) * tolerance
    return abs(difference(reading, nominal)) <= allowed * (1 + 1e-12)


def in_100(chance: float) -> str:
    """Return a chance as so many in 100, whole: the one form in which a chance is told.

    One number to count by everywhere, so that any two chances can be compared at a glance. What rounds to
    nothing or to all is told by its side of the limit, for neither is ever certain.
    """
    if chance < 0.01:
        return "under 1 in 100"
    return "over 99 in 100" if chance > 0.99 else f"{100 * chance:.0f} in 100"


def in_100_finely(chance: float, digits: int = 2) -> str:
    """Return a chance in the same form with some digits, where the number itself is the matter."""
    return "under 0.01 in 100" if chance < 1e-4 else f"{float(f'{100 * chance:.{digits}g}'):g} in 100"


def in_minutes(value: float) -> str:
    """Return hands-on or waiting minutes as a person says them: `4 min`, `1 h 20 min`, `2 days`."""
    whole = round(value)
    if value and whole < 1:
        return "under 1 min"
    if whole < 60:
        return f"{whole} min"
    if whole < 48 * 60:
        hours, rest = divmod(whole, 60)
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{round(whole / 1440)} days"
