"""A plan's bodies, or a mesh alone, packed for a view on a screen: one small binary file.

    b"TKV2" | length of the header, u32 | header, JSON in UTF-8 | arrays

All little-endian. The header is padded with spaces to a multiple of four; array places in it count
bytes from the end of the header. Corners are f32 [m], corner numbers u32, values one f32 a triangle
in the unit that their quantity names, so that no averaging hides the thinnest or thickest place.
The header also holds the legend of each quantity, its least and greatest place on the parts in
numbers and words, the contacts, and the colours of the scale from low to high.

A plan's course lies in the same file, so that a page needs no server to show a moment of it: the
header's "course" has the times [s]. Where its field stands ("steady"), thickness is its last value
by the share of time and nothing more is kept. Where it changes, a body has for each quantity one
u16 a triangle and moment, moments outermost: value = low + step * number. Bare and burning places
of a moment follow from "bare_below" and "burning_from", in the units of their quantities.
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
from tankside.cell.place_words import place_words
from tankside.part.mesh import TriangleMesh
from tankside.plan.current import BURNING_FROM
from tankside.plan.outcome import BARE_BELOW_M
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.colours import bare, burning, hexadecimal, ramp, scale_over

MAGIC = b"TKV2"
COLOURS = 64
"""Steps of the scale that are handed over; a viewer interpolates between them."""
MOMENTS = 13
"""Of a steady course, ends included."""
_MOST_U16 = 65535


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


_COVERED = "covered_at"


def view_of_plan(plan: Plan) -> bytes:
    """Parts, wires and thieves with what lies on them; anodes and shields as bodies alone."""
    arrays = _Arrays()
    covered = _covered(plan)
    shown = [n for n, result in enumerate(plan.results) if result.body.role is not Role.VESSEL]
    header = {
        "bodies": [_body(plan, number, covered, arrays) for number in shown],
        "quantities": _legends(plan, covered),
        "colours": _colours(),
        "goal_um": in_unit(plan.goal.thickness, "um"),
        "course": {
            "times_s": [moment.time for moment in plan.course]
            or np.linspace(0.0, plan.duration, MOMENTS).tolist(),
            "steady": not plan.course,
        },
        "bare_below": in_unit(BARE_BELOW_M, "um"),
        "burning_from": BURNING_FROM,
        "contacts": [
            {"name": f"contact {contact.number}", "at_m": [float(x) for x in contact.position]}
            for contact in plan.cell.contacts
        ],
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
        content += bytes(-len(content) % 4)
        self._parts.append(content)
        self._length += len(content)
        return place

    @property
    def content(self) -> bytes:
        return b"".join(self._parts)


def _body(plan: Plan, number: int, covered: dict[int, Floats], arrays: _Arrays) -> dict[str, Any]:
    result = plan.results[number]
    role = result.body.role
    entry: dict[str, Any] = {"name": result.label, "role": role.value, "values": {}}
    entry |= _surface(result.body.surface, arrays)
    if role.is_cathode:
        entry["values"] = {q.key: arrays.put(q.of(result), "<f4") for q in _QUANTITIES}
        moments = [moment.results[number] for moment in plan.course]
        if moments:
            entry["course"] = {
                q.key: _stepped(np.array([q.of(one) for one in moments]), arrays)
                for q in _QUANTITIES
            }
    if number in covered:
        entry["values"][_COVERED] = arrays.put(covered[number], "<f4")
    if role is Role.PART:
        entry["burning"] = arrays.put(np.flatnonzero(burning(result)), "<u4")
        entry["bare"] = arrays.put(np.flatnonzero(bare(result)), "<u4")
    return entry


def _stepped(values: Floats, arrays: _Arrays) -> dict[str, Any]:
    """Values as whole steps above the lowest, two bytes each."""
    low = float(values.min())
    step = (float(values.max()) - low) / _MOST_U16
    numbers = np.rint((values - low) / step) if step > 0 else np.zeros_like(values)
    return {"span": arrays.put(numbers, "<u2"), "low": low, "step": step}


def _covered(plan: Plan) -> dict[int, Floats]:
    """When copper covers each panel of the coated parts [min], by body; the end where it does
    not."""
    if plan.start is None:
        return {}
    ends = np.cumsum([len(result.thickness) for result in plan.results])[:-1]
    found = {}
    for number, at in enumerate(np.split(plan.start.covering.covered_at, ends)):
        if plan.results[number].body.role is Role.PART and not np.isnan(at).any():
            found[number] = np.minimum(at, plan.duration) / 60
    return found


def _surface(mesh: TriangleMesh, arrays: _Arrays) -> dict[str, Any]:
    return {
        "vertices_m": arrays.put(mesh.vertices, "<f4"),
        "triangles": arrays.put(mesh.triangles, "<u4"),
    }


def _legends(plan: Plan, covered: dict[int, Floats]) -> list[dict[str, Any]]:
    parts = [result for result in plan.results if result.body.role is Role.PART]
    legends = [
        _legend(quantity, np.concatenate([quantity.of(part) for part in parts]), parts, plan)
        for quantity in _QUANTITIES
    ]
    if covered:
        here = [plan.results[number] for number in covered]
        minutes = _Quantity(_COVERED, "Covered by copper after", "min", "min", 1.0)
        legends.append(_legend(minutes, np.concatenate([*covered.values()]), here, plan))
    return legends


def _legend(
    quantity: _Quantity, values: Floats, parts: Sequence[BodyResult], plan: Plan
) -> dict[str, Any]:
    """Ends, ticks and extreme places of a quantity over some parts."""
    areas = np.concatenate([part.body.surface.areas for part in parts])
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
        "least": _place(values, int(values.argmin()), parts, plan),
        "greatest": _place(values, int(values.argmax()), parts, plan),
    }


def _place(values: Floats, panel: int, parts: Sequence[BodyResult], plan: Plan) -> dict[str, Any]:
    middles = np.concatenate([part.body.surface.centroids for part in parts])
    normals = np.concatenate([part.body.surface.normals for part in parts])
    return {
        "value": float(values[panel]),
        "at_m": [float(x) for x in middles[panel]],
        "where": place_words(middles[panel], normals[panel], plan.cell),
    }


def _colours() -> Sequence[str]:
    return [hexadecimal(colour) for colour in ramp(np.linspace(0.0, 1.0, COLOURS))]


def _packed(header: Mapping[str, Any], arrays: _Arrays) -> bytes:
    text = json.dumps(header, ensure_ascii=False, allow_nan=False).encode()
    text += b" " * (-len(text) % 4)
    return MAGIC + struct.pack("<I", len(text)) + text + arrays.content
