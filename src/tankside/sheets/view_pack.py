"""A plan's bodies, or a mesh alone, packed for a view on a screen: one small binary file.

    b"TKV1" | length of the header, u32 | header, JSON in UTF-8 | arrays

All little-endian. The header is padded with spaces to a multiple of four; array places in it count
bytes from the end of the header. Corners are f32 [m], corner numbers u32, values one f32 a triangle
in the unit that their quantity names, so that no averaging hides the thinnest or thickest place.
The header also holds the legend of each quantity, its least and greatest place on the parts, and
the colours of the scale from low to high.
"""

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats
from tankside.base.units import in_unit
from tankside.cell.bodies import Role
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.colours import bare, burning, hexadecimal, ramp, scale_over

MAGIC = b"TKV1"
COLOURS = 64
"""Steps of the scale that are handed over; a viewer interpolates between them."""


@dataclass(frozen=True, slots=True)
class _Quantity:
    """Something that lies on the panels: its key, words, unit in code and on screen."""

    key: str
    words: str
    unit: str
    shown_unit: str
    factor: float

    def of(self, result: BodyResult) -> Floats:
        return np.asarray(getattr(result, self.key) * self.factor)


_QUANTITIES = (
    _Quantity("thickness", "Thickness", "um", "µm", in_unit(1.0, "um")),
    _Quantity("current_density", "Current density", "A_dm2", "A/dm²", in_unit(1.0, "A/dm^2")),
    _Quantity("fraction_of_limit", "Share of the limit", "1", "", 1.0),
)


def view_of_plan(plan: Plan) -> bytes:
    """Parts, wires and thieves with what lies on them; anodes and shields as bodies alone."""
    arrays = _Arrays()
    shown = [result for result in plan.results if result.body.role is not Role.VESSEL]
    header = {
        "bodies": [_body(result, arrays) for result in shown],
        "quantities": [_legend(quantity, plan) for quantity in _QUANTITIES],
        "colours": _colours(),
        "goal_um": in_unit(plan.goal.thickness, "um"),
    }
    return _packed(header, arrays)


def view_of_part(mesh: TriangleMesh) -> bytes:
    """A mesh as it is, without values."""
    arrays = _Arrays()
    body = {"name": "part 1", "role": Role.PART.value, **_surface(mesh, arrays), "values": {}}
    return _packed({"bodies": [body], "quantities": [], "colours": _colours()}, arrays)


class _Arrays:
    """Bytes that follow the header, and where each array lies in them."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._length = 0

    def put(self, values: npt.NDArray[Any], kind: str) -> list[int]:
        """Keeps an array; returns its offset [bytes] and its number of values."""
        content = np.ascontiguousarray(values, dtype=kind).tobytes()
        place = [self._length, int(values.size)]
        self._parts.append(content)
        self._length += len(content)
        return place

    @property
    def content(self) -> bytes:
        return b"".join(self._parts)


def _body(result: BodyResult, arrays: _Arrays) -> dict[str, Any]:
    role = result.body.role
    values = {}
    if role.is_cathode:
        values = {q.key: arrays.put(q.of(result), "<f4") for q in _QUANTITIES}
    flags = {}
    if role is Role.PART:
        flags = {
            "burning": arrays.put(np.flatnonzero(burning(result)), "<u4"),
            "bare": arrays.put(np.flatnonzero(bare(result)), "<u4"),
        }
    surface = _surface(result.body.surface, arrays)
    return {"name": result.label, "role": role.value, **surface, "values": values, **flags}


def _surface(mesh: TriangleMesh, arrays: _Arrays) -> dict[str, Any]:
    return {
        "vertices_m": arrays.put(mesh.vertices, "<f4"),
        "triangles": arrays.put(mesh.triangles, "<u4"),
    }


def _legend(quantity: _Quantity, plan: Plan) -> dict[str, Any]:
    """Ends, ticks and extreme places of a quantity over the parts."""
    parts = [result for result in plan.results if result.body.role is Role.PART]
    values = np.concatenate([quantity.of(part) for part in parts])
    areas = np.concatenate([part.body.surface.areas for part in parts])
    middles = np.concatenate([part.body.surface.centroids for part in parts])
    scale = scale_over(values, areas)
    return {
        "key": quantity.key,
        "words": quantity.words,
        "unit": quantity.unit,
        "shown_unit": quantity.shown_unit,
        "low": scale.low,
        "high": scale.high,
        "ticks": [round(tick, 9) for tick in scale.ticks],
        "values_above_high": scale.above,
        "least": _place(values, middles, int(values.argmin())),
        "greatest": _place(values, middles, int(values.argmax())),
    }


def _place(values: Floats, middles: Floats, panel: int) -> dict[str, Any]:
    return {"value": float(values[panel]), "at_m": [float(x) for x in middles[panel]]}


def _colours() -> Sequence[str]:
    return [hexadecimal(colour) for colour in ramp(np.linspace(0.0, 1.0, COLOURS))]


def _packed(header: Mapping[str, Any], arrays: _Arrays) -> bytes:
    text = json.dumps(header, ensure_ascii=False, allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    return MAGIC + struct.pack("<I", len(text)) + text + arrays.content
