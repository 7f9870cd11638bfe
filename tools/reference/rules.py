"""The page of pack rules: every rule by the name that `powergood pack check` and an `Issue` give it."""

from __future__ import annotations

import ast
from pathlib import Path

from powergood.knowledge.checks import RULES
from tools.reference.words import meanings

SOURCE = Path(__file__).resolve().parents[2] / "src" / "powergood"
CALLS = ("Issue", "Problem", "issue", "error", "warning", "report")

HEAD = """# Pack rules

`powergood pack check PATH` finds every mistake at once, each with file, line and column. An error keeps the
pack from being used; a warning does not. Findings files are held to those rules that concern names, shape
and numbers.

| rule | what it asks |
| --- | --- |
"""


def names_in_code() -> set[str]:
    """Return every rule that the readers of packs and findings files can report."""
    found: set[str] = set()
    for package in ("packs", "knowledge"):
        for file in sorted((SOURCE / package).rglob("*.py")):
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call):
                    found |= _rules_of(node)
    return found


def _rules_of(call: ast.Call) -> set[str]:
    called = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    named = [word.value for word in call.keywords if word.arg == "check"]
    first = call.args[:1] if called in CALLS and called != "report" else []
    second = call.args[1:2] if called == "report" else []  # report(trail, rule, message)
    return {
        node.value
        for node in [*named, *first, *second]
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " not in node.value
    }


def every_rule() -> dict[str, str]:
    """Return every rule with what it asks: those of sense from their classes, the others from the table."""
    said = meanings()["rules"]
    return {name: said.get(name, "") for name in names_in_code()} | {
        rule.id: rule.sentence + (" (warning)" if rule.severity == "warning" else "") for rule in RULES
    }


def page() -> str:
    """Return the page, rules in order of their names."""
    return HEAD + "".join(f"| `{name}` | {asks} |\n" for name, asks in sorted(every_rule().items()))
