"""Better rigs: what may be changed, what each change does, and which few are worth hanging.

The chain to read: rig.py (the value), space.py (what may be changed), evaluation.py (what one rig
gives), goals.py (what is wanted), search.py (which rigs to ask for next), choice.py (which come
back), comparison.py (what each gains and costs).
"""

from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import Bench, RigCase, RigFigures, RigResult
from tankside.plan.rigs.goals import RigGoal, RigWish
from tankside.plan.rigs.rig import Rig, Turn
from tankside.plan.rigs.search import searched
from tankside.plan.rigs.space import DesignSpace, Freedoms, design_space
from tankside.plan.rigs.trials import Effort, Trial

__all__ = [
    "Bench",
    "DesignSpace",
    "Effort",
    "Freedoms",
    "Rig",
    "RigCase",
    "RigFigures",
    "RigGoal",
    "RigResult",
    "RigWish",
    "Trial",
    "Turn",
    "design_space",
    "evaluated",
    "searched",
]
