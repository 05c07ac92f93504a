"""What a rig search is asked and what it answers: values only."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tankside.app.ports import Files
from tankside.plan.rigs.comparison import RigNumbers
from tankside.plan.rigs.figures import RigFigures
from tankside.plan.rigs.goals import RigGoal
from tankside.plan.rigs.rig import Rig
from tankside.plan.rigs.rules_of_thumb import RuleSaid
from tankside.plan.rigs.space import Freedoms
from tankside.plan.rigs.trials import Effort


@dataclass(frozen=True, kw_only=True)
class RigRequest:
    """A job file's text, name and files; the goal; what may be changed; the effort; the minutes
    that it may take; how many rigs should come back; within which time [s] the goal is wanted, and
    within which [s] copper must cover the coat."""

    job_text: str
    job_name: str
    files: Files
    goal: RigGoal = RigGoal.THINNEST
    freedoms: Freedoms = field(default_factory=Freedoms)
    effort: Effort = field(default_factory=Effort)
    minutes: float = 5.0
    rigs: int = 4
    within: float | None = None
    start_within: float | None = None


@dataclass(frozen=True, kw_only=True)
class RigProposal:
    """One better rig: its numbers on the person's mesh, what to do at the tank, what it gains and
    costs, and its job files by name (two where the part is turned part-way)."""

    rig: Rig
    figures: RigFigures
    numbers: RigNumbers
    changes: tuple[str, ...]
    gains: tuple[str, ...]
    jobs: Mapping[str, bytes]
    wires_needed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ParetoPoint:
    """One rig of the front, on the coarse mesh: hours and grams until the thinnest place has its
    thickness, the spread [-], minutes until copper covers the coat (None on metal), wires."""

    hours: float
    copper_g: float
    spread: float
    cover_minutes: float | None = None
    wires: int = 1


@dataclass(frozen=True, kw_only=True)
class RigReply:
    """The own rig's numbers, the proposals (best first), the front, the rules, and how it went.

    least_difference   of the two most alike of own rig and proposals [-]; 1 is one freedom at its
                       other end
    refused            how often each reason kept a rig from being tried further
    coated             True where a part starts on a coat
    notes              what the numbers do not hold
    """

    goal: RigGoal
    own: RigNumbers
    own_rig: Rig
    proposals: tuple[RigProposal, ...]
    pareto: tuple[ParetoPoint, ...]
    rules: tuple[RuleSaid, ...]
    evaluations: int
    refused: Mapping[str, int]
    least_difference: float
    freedoms: tuple[str, ...]
    notes: tuple[str, ...]
    seconds: float
    coated: bool = False
