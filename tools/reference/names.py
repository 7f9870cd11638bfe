"""The page of public names: what each package offers to other Python programs."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Mapping
from importlib import import_module
from types import ModuleType
from typing import Any

from tools.reference.words import first_sentence, meanings

PACKAGES = (
    "powergood.knowledge",
    "powergood.estimate",
    "powergood.record",
    "powergood.diagnosis",
    "powergood.packs",
    "powergood.store",
    "powergood.bench",
    "powergood.units",
    "powergood.ids",
    "powergood.errors",
)

HEAD = """# Python names

What the packages offer to other Python programs. How to use them: [the Python library](../howto/python.md).
What `powergood.diagnosis` returns: [advice](advice.md); what `powergood.bench` returns:
[page variables](page-variables.md); the nouns of `powergood.knowledge`: [pack files](pack-files.md).
"""


def public(module: ModuleType) -> Mapping[str, Any]:
    """Return the public names of a module: those of `__all__`, else what it defines without an underscore."""
    listed = getattr(module, "__all__", None)
    if listed is not None:
        return {name: getattr(module, name) for name in sorted(listed)}
    own = {
        name: value
        for name, value in vars(module).items()
        if not name.startswith("_") and getattr(value, "__module__", "") == module.__name__
    }
    return dict(sorted(own.items()))


def sentence_for(package: str, name: str, value: Any) -> str:
    """Return the sentence that says what a public name is; empty when nobody has said so."""
    noted = meanings()["names"].get(f"{package.removeprefix('powergood.')}.{name}", "")
    documented = inspect.isclass(value) or inspect.isroutine(value) or inspect.ismodule(value)
    return noted or (first_sentence(value.__doc__) if documented else "")


def lines_of(package: str) -> Iterator[str]:
    """Yield the lines of one package's section."""
    module = import_module(package)
    yield f"\n## {package}\n"
    yield f"{first_sentence(module.__doc__)}\n"
    yield "| name | what it is |"
    yield "| --- | --- |"
    for name, value in public(module).items():
        shown = f"{name}{_arguments(value)}" if inspect.isfunction(value) else name
        sentence = sentence_for(package, name, value).replace("|", "\\|")
        yield f"| `{shown}` | {sentence} |"


def _arguments(value: Any) -> str:
    names = []
    for parameter in inspect.signature(value).parameters.values():
        optional = parameter.default is not inspect.Parameter.empty
        if parameter.kind is inspect.Parameter.KEYWORD_ONLY:
            names.append(f"{parameter.name}={'...' if optional else ''}")
        else:
            names.append(f"{parameter.name}=..." if optional else parameter.name)
    return f"({', '.join(names)})"


def page() -> str:
    """Return the page."""
    return HEAD + "\n".join(line for package in PACKAGES for line in lines_of(package)) + "\n"
