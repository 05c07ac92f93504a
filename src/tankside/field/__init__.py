"""The field: current distribution in a cell, growth of the deposit, and how sure both are.

The chain to read: problem.py (the question and the answer), solve.py, system.py, newton.py; the
rate laws are in `kinetics`, the boundary operators behind operators.py.
"""

from tankside.field.deposit import Growth, Segment, StepControl
from tankside.field.growth import grow
from tankside.field.newton import Accuracy, PreconditionerMemory
from tankside.field.numbers import VoltageSplit, area_statistics, voltage_split, wagner_number_of
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem, FieldSolution, IdealMetal
from tankside.field.sensitivity import Uncertainty, sensitivities, uncertainty
from tankside.field.variations import Variation

__all__ = [
    "Accuracy",
    "Electrode",
    "FieldProblem",
    "FieldSolution",
    "Growth",
    "IdealMetal",
    "Panels",
    "PreconditionerMemory",
    "Segment",
    "StepControl",
    "Uncertainty",
    "Variation",
    "VoltageSplit",
    "area_statistics",
    "grow",
    "sensitivities",
    "uncertainty",
    "voltage_split",
    "wagner_number_of",
]
