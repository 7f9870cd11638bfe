"""Belief over several faults at once, and the next step of least expected total cost.

    compile_model(machine)      knowledge to numbers
    advise(model, timeline)     facts to advice: chances, gates, ranked steps with reasons
    believe(model, timeline)    the belief alone
    in_the_way(advice)          the suspects; beside_the_way(advice) what is likely but breaks nothing wanted
    moved(model, timeline, f)   what each finding says for or against a fault
    tightened(model, timeline)  a higher cost that no plan can average below, with more work
    with_finding(timeline, f)   what-if: the timeline as it would be; nothing is recorded
    lessons(model, timeline, n) what closed job n says of the pack's numbers
    parting(model)              which pairs of faults no check parts

All of it is pure: equal arguments give equal answers.
"""

from powergood.diagnosis.advise import advise
from powergood.diagnosis.apart import Alike, Parting, parting
from powergood.diagnosis.belief import Belief, believe
from powergood.diagnosis.compile import compile_model
from powergood.diagnosis.compiled import CompiledModel
from powergood.diagnosis.explain import near_best
from powergood.diagnosis.gates import keeps_back
from powergood.diagnosis.in_the_way import beside_the_way, in_the_way
from powergood.diagnosis.lessons import Taken, lessons
from powergood.diagnosis.model import (
    Advice,
    Against,
    AreaChance,
    Exchange,
    FaultChance,
    FunctionState,
    GateState,
    Hinge,
    OutcomeChance,
    Preferences,
    Step,
    Together,
)
from powergood.diagnosis.moved import Moved, moved
from powergood.diagnosis.stopping import Limits, Spent, StopSign, spent, stop_signs
from powergood.diagnosis.tightened import levels, tightened
from powergood.diagnosis.whatif import with_finding

__all__ = [
    "Advice",
    "Against",
    "Alike",
    "AreaChance",
    "Belief",
    "CompiledModel",
    "Exchange",
    "FaultChance",
    "FunctionState",
    "GateState",
    "Hinge",
    "Limits",
    "Moved",
    "OutcomeChance",
    "Parting",
    "Preferences",
    "Spent",
    "Step",
    "StopSign",
    "Taken",
    "Together",
    "advise",
    "believe",
    "beside_the_way",
    "compile_model",
    "in_the_way",
    "keeps_back",
    "lessons",
    "levels",
    "moved",
    "near_best",
    "parting",
    "spent",
    "stop_signs",
    "tightened",
    "with_finding",
]
