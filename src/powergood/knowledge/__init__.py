"""What is known of a kind of machine: the nouns of packs, and how they join into one machine.

A model may be built in Python without any pack; `compose` and `digest` work on plain dataclasses and do
no input or output.

Public names: the nouns of `model`, `compose`, `digest`, `Problem`, `Where`.
"""

from powergood.knowledge.compose import compose
from powergood.knowledge.digest import digest
from powergood.knowledge.model import (
    Answer,
    Area,
    Caution,
    Cell,
    Check,
    Claim,
    Complaint,
    Extent,
    Family,
    Fault,
    Fix,
    Function,
    Gate,
    Grid,
    IntakeFact,
    Line,
    MachineModel,
    ModelSheet,
    Opening,
    Part,
    Rung,
    Sign,
    Source,
    Subsystem,
    ToldFinding,
)
from powergood.knowledge.problems import Problem, Where

__all__ = [
    "Answer",
    "Area",
    "Caution",
    "Cell",
    "Check",
    "Claim",
    "Complaint",
    "Extent",
    "Family",
    "Fault",
    "Fix",
    "Function",
    "Gate",
    "Grid",
    "IntakeFact",
    "Line",
    "MachineModel",
    "ModelSheet",
    "Opening",
    "Part",
    "Problem",
    "Rung",
    "Sign",
    "Source",
    "Subsystem",
    "ToldFinding",
    "Where",
    "compose",
    "digest",
]
