"""Which check or fix of a model a fact names, its copy included."""

from __future__ import annotations

from powergood.diagnosis.compiled import CheckSpec, CompiledModel, FixSpec


def check_spec(model: CompiledModel, check: str, copy: int = 0) -> CheckSpec | None:
    """Return the check as asked of one copy; the check itself when it is of no copy, or of the only one."""
    return model.checks.get(f"{check}#{copy}") or model.checks.get(check) or model.checks.get(f"{check}#1")


def fix_spec(model: CompiledModel, fix: str, slot: str = "") -> FixSpec | None:
    """Return the fix, of the copy in `slot` where there are several; the first copy when none is named."""
    if fix in model.fixes:
        return model.fixes[fix]
    copies = [spec for spec in model.fixes.values() if spec.fix == fix]
    return next((spec for spec in copies if spec.slot == slot), copies[0] if copies else None)
