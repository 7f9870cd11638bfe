"""Write a model sheet as the text of a pack file: it reads back as the same sheet; defaults are left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass

import yaml

from powergood.knowledge.model import Claim, ModelSheet

WIDTH = 110


class _Quoting(yaml.SafeDumper):
    """Writes every text that another reader of YAML could take for something else in quotes."""


def sheet_text(sheet: ModelSheet) -> str:
    """Return a sheet as YAML; reading it gives an equal sheet."""
    plain = _plain(sheet)
    assert isinstance(plain, dict)
    text: str = yaml.dump(
        plain, Dumper=_Quoting, sort_keys=False, allow_unicode=True, width=WIDTH, default_flow_style=False
    )
    return text


def claim_text(claim: Claim) -> str:
    """Return a number with its source as packs write it: `5 (judgement)`."""
    weight = f", weight {claim.weight:g}" if claim.weight else ""
    return f"{claim.value!r} ({claim.source}{weight})".replace(".0 (", " (")


def _plain(value: object) -> object:
    if isinstance(value, Claim):
        return claim_text(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {
            each.name: _plain(getattr(value, each.name))
            for each in fields(value)
            if not _is_default(each.default, each.default_factory, getattr(value, each.name))
        }
    if isinstance(value, Mapping):
        return {str(name): _plain(item) for name, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def _is_default(default: object, factory: object, value: object) -> bool:
    if default is not MISSING:
        return value == default
    return factory is not MISSING and callable(factory) and value == factory()
