"""The pose of a part: leant over, turned about the upright line, and moved in the tank.

It leans first, about a level line, from the pose that the person gave; then it turns. So trapped
air depends on the leaning alone. Its middle moves within the room that is left for its box.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial.transform import Rotation

from tankside.base.arrays import Floats
from tankside.base.messages import said
from tankside.cell.description import CellDescription
from tankside.plan.rigs.freedom import CLEARANCE, Variable, share_of, shared, tank_box
from tankside.plan.rigs.rig import Rig, box_of, middle_of, rotation_of, with_part_moved


@dataclass(frozen=True, kw_only=True)
class PoseFreedom:
    """Part `number` may be leant by `lean` [degrees] at most, turned, and moved."""

    number: int
    lean: float = 180.0

    @property
    def name(self) -> str:
        """Which part's pose."""
        return said("pose of part {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Leaning as a level vector, turn, and the place as shares of the room."""
        lean = self.lean
        return (
            Variable(name="lean about x", low=-lean, high=lean, unit="degrees"),
            Variable(name="lean about y", low=-lean, high=lean, unit="degrees"),
            Variable(name="turn", low=-180.0, high=180.0, unit="degrees", circular=True),
            Variable(name="along x", low=0.0, high=1.0, unit="share of the room"),
            Variable(name="along y", low=0.0, high=1.0, unit="share of the room"),
            Variable(name="height", low=0.0, high=1.0, unit="share of the room"),
        )

    def own(self, rig: Rig) -> Floats:
        """No lean, no turn, the place as it is."""
        part = rig.description.parts[self.number - 1]
        low, high = self._room(rig.description, rotation_of(part))
        middle = middle_of(part)
        return np.array([0.0, 0.0, 0.0, *map(share_of, low, high, middle)])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Leant, turned, moved."""
        part = rig.description.parts[self.number - 1]
        rotation = self._turn(values) * rotation_of(part)
        low, high = self._room(rig.description, rotation)
        middle = np.array(list(map(shared, low, high, values[3:].tolist())))
        return Rig(
            description=with_part_moved(rig.description, self.number, rotation, middle),
            turn=rig.turn,
            current_share=rig.current_share,
        )

    def features(self, values: Floats) -> Floats:
        """Two columns of the rotation, halved, and the place."""
        matrix = self._turn(values).as_matrix()
        return np.concatenate([matrix[:, 0] / 2, matrix[:, 2] / 2, values[3:]])

    def _turn(self, values: Floats) -> Rotation:
        lean = np.array([values[0], values[1], 0.0])
        size = float(np.linalg.norm(lean))
        if size > self.lean:
            lean *= self.lean / size
        leant = Rotation.from_rotvec(lean, degrees=True)
        return Rotation.from_euler("z", values[2], degrees=True) * leant

    def _room(self, description: CellDescription, rotation: Rotation) -> tuple[Floats, Floats]:
        """Where the middle of the part's box may be, lowest and highest (3,) [m]."""
        turned = with_part_moved(description, self.number, rotation, np.zeros(3))
        low, high = box_of(turned.parts[self.number - 1])
        half = (high - low) / 2 + CLEARANCE
        floor, ceiling = tank_box(description.tank)
        return (
            np.append(floor, 0.0) + half,
            np.append(ceiling, description.liquid_depth) - half,
        )
