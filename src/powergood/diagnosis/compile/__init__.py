"""From knowledge to numbers: the one door through which the diagnosis sees what packs say.

Here weights become chances that sum to the family's expected number of faults, copies of parts are
unrolled, take-in answers and age multiply odds, and each area gets its *something else here*.

Public name: `compile_model`.
"""

from powergood.diagnosis.compile.machine import compile_model

__all__ = ["compile_model"]
