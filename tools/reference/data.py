"""The pages about data: pack files, findings files, advice, page variables and the kinds of fact."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from dataclasses import is_dataclass
from types import ModuleType
from typing import Any, get_args, get_type_hints

from powergood.bench import (
    card_views,
    cutaway_views,
    grid_views,
    intake_views,
    job_views,
    machine_views,
    pad_views,
    record_views,
    ribbon_views,
    stage_views,
    step_views,
    taught_views,
)
from powergood.bench.knowhow import (
    check_views,
    complaint_views,
    family_views,
    fault_views,
    number_views,
    safety_views,
    search_views,
)
from powergood.bench.modelsheets import views as sheet_views
from powergood.diagnosis import model as diagnosis
from powergood.packs.entries import KINDS
from powergood.packs.folder import FILES, FOLDERS
from powergood.packs.schema import schema_text
from powergood.record import model as facts
from powergood.web import contexts, know_contexts, taught_contexts
from tools.reference.words import class_section, meaning, meanings

PACK_HEAD = """# Pack files

A pack is a folder of YAML files. How to write one: [write a pack](../howto/pack.md); the rules it is held
to: [pack rules](pack-rules.md); for editors: [pack-schema.json](pack-schema.json). A claim, wherever one is
due, is written as text: `5 (judgement)`, `0.3 (S3)`, `0.05 (judgement, weight 8)`.

| file | holds |
| --- | --- |
"""

FINDINGS_HEAD = """# Findings file

A findings file tells what was seen and done on one machine; `powergood advise SHEET --findings FILE` reads
it. It is YAML: `format: 1`; `intake:`, the take-in questions answered yes (a list) or answered yes and no
(`question: no`); and `facts:` in order, each a small mapping. What a fact is about is its first field.

```yaml
format: 1
intake: [kept-damp]
facts:
  - {gate: cells-seen, met: yes}
  - {check: how-far, outcome: self-test, power_up: 1}
  - {check: look-at-inverter, outcome: bad, sure: no}
  - {check: key-grid, cells: [Q, W, E]}
  - {open: screen-bezel}
  - {fix: replace-inverter}
  - {reading: adapter under load, value: "18.9 V"}
  - {withdraw: 3}
```

The names are the pack's; a name it does not know is refused with its line and the nearest known one.

"""

ADVICE_HEAD = """# Advice

What `powergood advise SHEET --json` prints, what `powergood.diagnosis.advise` returns, and what the pages
show: one object, `format: 1`. Fields may be added; none is taken away. Lists keep the order said below.

"""

VIEWS_HEAD = """# Page variables

Every page has one of these as its context, with [Frame](#frame) round it. What they hold are the frozen
objects of the bench (second half), which `powergood machine` and `powergood job` print, whole with `--json`.
Each stands in the module named for what it shows: `powergood.bench.step_views`, `powergood.bench.job_views`.

"""

RECORD_HEAD = """# The record

A workshop is a list of facts that only grows. Each has an envelope ([Draft](#draft), then
[Fact](#fact)) and a body of one of the kinds below. The database keeps one plain table for each kind.

"""


def classes_of(module: ModuleType) -> list[type]:
    """Return the public dataclasses that a module defines, in the order it defines them."""
    own = (
        value
        for name, value in vars(module).items()
        if inspect.isclass(value) and value.__module__ == module.__name__ and not name.startswith("_")
    )
    return [kind for kind in own if is_dataclass(kind)]


def reached(kinds: list[type]) -> list[type]:
    """Return `kinds` and every dataclass that their fields lead to, each once, nearest first."""
    found = list(kinds)
    for kind in found:
        for hint in get_type_hints(kind).values():
            found += [inner for inner in _dataclasses_in(hint) if inner not in found]
    return found


def _dataclasses_in(hint: Any) -> Iterator[type]:
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
    for inner in get_args(hint):
        yield from _dataclasses_in(inner)


def sections(kinds: list[type], *, defaults: bool) -> str:
    """Return the sections of several classes."""
    text = "\n".join(class_section(kind, defaults=defaults) for kind in kinds)
    here = {kind.__name__ for kind in kinds}
    return re.sub(r"\[(\w+)\]\(#\w+\)", lambda link: link[0] if link[1] in here else f"`{link[1]}`", text)


def pack_classes() -> list[type]:
    """Return the classes that pack files are read into, files first."""
    return reached([*FILES.values(), *FOLDERS.values()])


def pack_schema() -> str:
    """Return the schema of pack files, with the meaning of each field."""
    kinds = {kind.__name__: kind for kind in pack_classes()}
    return schema_text(lambda name, field: meaning(kinds[name], field) if name in kinds else "")


def pack_files() -> str:
    """Return the page about pack files."""
    kinds = {**FILES, **{f"{folder}/NAME.yaml": kind for folder, kind in FOLDERS.items()}}
    rows = (f"| `{name}` | [{kind.__name__}](#{kind.__name__.lower()}) |\n" for name, kind in kinds.items())
    return PACK_HEAD + "".join(rows) + "\n" + sections(pack_classes(), defaults=True)


def findings_file() -> str:
    """Return the page about findings files."""
    said = meanings()["findings"]
    parts = []
    for kind, further in KINDS.items():
        rows = "".join(f"| `{name}` | {said.get(f'{kind}.{name}') or said[name]} |\n" for name in further)
        parts.append(f"## {kind}\n\n{said[f'kind.{kind}']}\n")
        parts.append(f"| further field | meaning |\n| --- | --- |\n{rows}" if rows else "No further field.\n")
    envelope = "".join(f"| `{name}` | {said[name]} |\n" for name in ("power_up", "who", "seen_at"))
    parts.append("## Fields of every fact\n\nAll may be left out.\n")
    parts.append(f"| field | meaning |\n| --- | --- |\n{envelope}")
    return FINDINGS_HEAD + "\n".join(parts)


def advice() -> str:
    """Return the page about advice."""
    return ADVICE_HEAD + sections([*reached([diagnosis.Advice]), diagnosis.Preferences], defaults=False)


def page_variables() -> str:
    """Return the page about what pages are drawn from."""
    return VIEWS_HEAD + sections(page_classes(), defaults=False)


def page_classes() -> list[type]:
    """Return the contexts of pages, then the views they hold."""
    modules = (
        contexts,
        know_contexts,
        taught_contexts,
        card_views,
        machine_views,
        intake_views,
        record_views,
        job_views,
        step_views,
        grid_views,
        stage_views,
        cutaway_views,
        pad_views,
        ribbon_views,
        taught_views,
        number_views,
        family_views,
        fault_views,
        check_views,
        safety_views,
        complaint_views,
        search_views,
        sheet_views,
    )
    return [kind for module in modules for kind in classes_of(module)]


def record() -> str:
    """Return the page about facts."""
    first = [facts.Draft, facts.Fact]
    return RECORD_HEAD + sections([*first, *facts.BODY_KINDS], defaults=False)
