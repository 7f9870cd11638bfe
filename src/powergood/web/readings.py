"""A measured number as typed, read into its value in the base unit."""

from __future__ import annotations

import math
import re
from typing import Final

from powergood.record.model import Reading

_PREFIXES: Final = {
    "": 0,
    "p": -12,
    "n": -9,
    "µ": -6,
    "μ": -6,
    "u": -6,
    "m": -3,
    "k": 3,
    "K": 3,
    "M": 6,
    "G": 9,
}
_UNITS: Final = {
    "V": "V", "A": "A", "\u03a9": "\u03a9", "\u2126": "\u03a9", "ohm": "\u03a9", "R": "\u03a9",
    "W": "W", "F": "F", "H": "H", "Hz": "Hz", "s": "s", "Ah": "Ah", "°C": "°C", "C": "°C", "%": "%",
}  # fmt: skip
_BARE: Final = ("°C", "%")
_FORM: Final = re.compile(
    r"([+-]?\d+(?:[.,]\d+)?)\s*([pn\u00b5\u03bcumkKMG]?)(V|Ah|A|\u03a9|\u2126|ohm|R|W|F|Hz|H|s|°C|C|%)"
)


def reading(quantity: str, text: str, instrument: str = "", conditions: str = "") -> Reading | None:
    """Return a reading from text such as `4.87 V` or `2,2 kΩ`; none when it is not a number with a unit."""
    found = _FORM.fullmatch(text.strip())
    if not found:
        return None
    number, prefix, unit = found.groups()
    base = _UNITS[unit]
    if prefix and base in _BARE:
        return None
    value = float(number.replace(",", ".")) * 10.0 ** _PREFIXES[prefix]
    if not math.isfinite(value):
        return None
    return Reading(quantity, text.strip(), value, base, instrument, conditions)
