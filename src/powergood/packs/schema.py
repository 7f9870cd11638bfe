"""The JSON schema of pack files, for editors; made from the very classes the files are read into.

The meaning of each field is put in from outside; `python3 do.py docs` does so for the checked-in file.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from pydantic import TypeAdapter

from powergood.packs.claims import CLAIM_PATTERN
from powergood.packs.folder import FILES, FOLDERS
from powergood.packs.shape import adapter

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def pack_schema() -> dict[str, Any]:
    """Return one schema whose `$defs` hold each kind of file; `files` says which holds where."""
    kinds = {**FILES, **{f"{folder}/*.yaml": kind for folder, kind in FOLDERS.items()}}
    _, made = TypeAdapter.json_schemas([(kind, "validation", adapter(kind)) for kind in kinds.values()])
    definitions: dict[str, Any] = made["$defs"]
    definitions["Claim"] = _claim(definitions["Claim"])
    return {
        "$schema": DIALECT,
        "title": "Files of a knowledge pack, format 1",
        "anyOf": [{"$ref": f"#/$defs/{kind.__name__}"} for kind in kinds.values()],
        "files": {name: f"#/$defs/{kind.__name__}" for name, kind in sorted(kinds.items())},
        "$defs": dict(sorted(definitions.items())),
    }


def _claim(mapping: dict[str, Any]) -> dict[str, Any]:
    """A claim is written as text mostly; the mapping of its fields is allowed too."""
    text = {"type": "string", "pattern": CLAIM_PATTERN, "examples": ["5 (judgement)", "0.05 (S3, weight 8)"]}
    described = mapping.get("description", "")
    return {
        "title": "Claim",
        "description": described,
        "anyOf": [
            text,
            {key: value for key, value in mapping.items() if key not in ("title", "description")},
        ],
    }


def schema_text(meaning: Callable[[str, str], str] | None = None) -> str:
    """Return the schema as text; `meaning` says what a field of a class, both by name, is for."""
    schema = pack_schema()
    for name, definition in schema["$defs"].items():
        for field, described in definition.get("properties", {}).items():
            if meaning and (words := meaning(name, field)):
                described["description"] = words
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
