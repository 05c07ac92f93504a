"""The units that a part's file may be in, and a guess where the file does not say.

STL, OBJ and PLY hold bare numbers. The guess weighs how large the part would be (most parts that
are plated at a bench are a few centimetres across) and how round the distances between its flat
faces would be (designers type whole millimetres or fractions of an inch). It is a guess: it is
shown with what the other units would give, and a person confirms it. Sizes that no part has are
refused.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import Quantity, said
from tankside.base.units import shown
from tankside.base.wording import either, quoting, term
from tankside.part.mesh import TriangleMesh

METRES = {"um": 1e-6, "mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048}
"""Metres in one unit, exact by definition."""

WORDS = {
    "um": said("micrometres"),
    "mm": said("millimetres"),
    "cm": said("centimetres"),
    "m": said("metres"),
    "in": said("inches"),
    "ft": said("feet"),
}

LARGEST, SMALLEST = 10.0, 1e-4
"""The longest side that a part may have, and the shortest that its longest side may have [m].
Common practice, no source: outside of them, the unit is wrong."""

_SPELLINGS = {
    "um": ("um", "µm", "μm", "micron", "microns", "micrometre", "micrometres", "micrometer"),
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "in": ("in", "inch", "inches", '"'),
    "ft": ("ft", "foot", "feet"),
}
_GUESSED = ("mm", "in", "cm", "m")
_USUAL_SIZE, _SPREAD = 0.06, 4.0
_PREFERENCE = {"mm": 0.0, "in": -1.0, "cm": -3.0, "m": -2.0}
_ROUNDNESS_WEIGHT = 1.5


@dataclass(frozen=True, kw_only=True)
class Guess:
    """A unit that was guessed, the sentence that says why, and how sure it is:
    `lead` is by how many powers of e it stands before the next candidate [-]."""

    unit: str
    sentence: str
    lead: float


def unit_named(given: str) -> str:
    """The short name of a length unit in any usual spelling; UnknownName otherwise."""
    wanted = given.strip().lower()
    for unit, spellings in _SPELLINGS.items():
        if wanted in spellings:
            return unit
    raise UnknownName("unit", given, [name for names in _SPELLINGS.values() for name in names])


def sizes_in(extents: Floats, unit: str) -> Floats:
    """Box sizes (3,) of numbers in `unit` [m]."""
    return np.asarray(extents * METRES[unit])


def size_words(extents: Floats, unit: str) -> Quantity:
    """Box sizes of numbers in `unit`, as a person reads them."""
    sizes = sizes_in(extents, unit)
    scale = "mm" if sizes.max() < 1.0 else "m"
    return Quantity(tuple(float(size) for size in sizes), scale, between=" × ")


def check_size(extents: Floats, unit: str) -> None:
    """BadInput where numbers in `unit` give a part that cannot be one."""
    longest = float(extents.max()) * METRES[unit]
    if SMALLEST <= longest <= LARGEST:
        return
    others = [
        quoting("{size} if in {unit}", size=size_words(extents, other), unit=WORDS[other])
        for other in METRES
        if other != unit and 2e-3 <= float(extents.max()) * METRES[other] <= 2.0
    ]
    hint = term("no known unit makes it a part")
    if others:
        hint = quoting("it would be {sizes}", sizes=either(others))
    raise BadInput(
        "taken in {words} the part is {longest} long, and a part is between {smallest} and "
        "{largest}; {hint}",
        words=WORDS[unit],
        longest=_length(longest),
        smallest=_length(SMALLEST),
        largest=_length(LARGEST),
        hint=hint,
    )


def _length(metres: float) -> str:
    unit = "m" if metres >= 1 else "mm" if metres >= 1e-3 else "um"
    return shown(metres, unit)


def guessed(mesh: TriangleMesh) -> Guess:
    """The likeliest unit of a mesh whose coordinates are bare numbers; BadInput where none fits."""
    low, high = mesh.box
    longest = float((high - low).max())
    if not any(SMALLEST <= longest * METRES[unit] <= LARGEST for unit in _GUESSED):
        raise BadInput(
            "the file's numbers span {longest:.3g}, which makes a part in no known unit; check "
            "the file, or state the unit",
            longest=longest,
        )
    steps = _plane_distances(mesh)
    scores = {unit: _score(unit, longest, steps) for unit in _GUESSED}
    first, second = sorted(scores, key=lambda unit: -scores[unit])[:2]
    lead = scores[first] - scores[second]
    sure = said("probably") if lead > 2.0 else said("perhaps")
    sentence = said(
        "the file gives no unit: its numbers are {sure} {words}, as the part would be "
        "{size_words}; in {words_2} it would be {size_words_2}",
        sure=sure,
        words=WORDS[first],
        size_words=size_words(high - low, first),
        words_2=WORDS[second],
        size_words_2=size_words(high - low, second),
    )
    return Guess(unit=first, sentence=sentence, lead=lead)


def _score(unit: str, longest: float, steps: Floats) -> float:
    """Log likelihood, up to a constant, of the unit."""
    off = np.log(longest * METRES[unit] / _USUAL_SIZE) / np.log(_SPREAD)
    size = -0.5 * off**2
    if longest * METRES[unit] > 1.0:
        size -= 2.0
    return float(size + _PREFERENCE[unit] + _ROUNDNESS_WEIGHT * _roundness(unit, steps))


def _plane_distances(mesh: TriangleMesh) -> Floats:
    """Distances between the parallel flat faces square to x, y and z [file units]."""
    distances = []
    for axis in range(3):
        flat = np.abs(mesh.normals[:, axis]) > 1 - 1e-9
        if flat.any():
            heights = np.unique(np.round(mesh.centroids[flat, axis], 6))[:50]
            distances.append(np.diff(heights))
    found = np.concatenate(distances) if distances else np.zeros(0)
    return found[found > 1e-3]


def _roundness(unit: str, steps: Floats) -> float:
    """Share of the distances that are whole halves of a millimetre, or sixteenths of an inch, the
    coarser grid counting as much as the finer one would by chance [-1 to 1]."""
    if not len(steps):
        return 0.0
    metres = steps * METRES[unit]
    metric = _on_grid(metres, 0.5e-3)
    imperial = _on_grid(metres, 0.0254 / 16)
    if unit == "in":
        return max(imperial, 0.5 * metric)
    return max(metric, 0.5 * imperial)


def _on_grid(metres: Floats, step: float) -> float:
    """Share of lengths on multiples of `step`, less what chance would give [-]."""
    large = metres[metres >= 0.5 * step]
    if not len(large):
        return 0.0
    off = np.abs(large / step - np.round(large / step))
    return float((off < 0.01).mean() - 0.02)
