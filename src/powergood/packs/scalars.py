"""What an unquoted word in a pack file stands for: the core rules of YAML 1.2, minus their traps.

`no`, `off` and `1:30` are text, as in YAML 1.2. A number with leading zeros (`0777`) stays text too, for
it is a marking or a code, never a quantity.
"""

from __future__ import annotations

import re

_NULL = frozenset({"", "~", "null", "Null", "NULL"})
_BOOLEAN = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_WHOLE = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,30})")
_DECIMAL = re.compile(r"[-+]?(?:(?:0|[1-9][0-9]*)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?")
_SPECIAL = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")


def core_value(text: str) -> bool | int | float | str | None:
    """Return the value of an unquoted scalar; text where no rule of the core schema fits.

    References
    ----------
    YAML 1.2.2, section 10.3.2 (tag resolution of the core schema).
    """
    if text in _NULL:
        return None
    if text in _BOOLEAN:
        return _BOOLEAN[text]
    if _WHOLE.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text):
        return float(text)
    if _SPECIAL.fullmatch(text):
        return float(text.replace(".", "", 1))
    return text
