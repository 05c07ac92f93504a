"""The slanted-cathode test cell: the field against its published formula and exact answers.

A prism whose plan is a trapezoid: parallel insulating sides of 47.6 and 127 mm, 63.5 mm apart, the
anode on the side at right angles to them, the cathode on the slanted one; 267 mL stand 48 mm high.
The formula for the current density at a distance L from the high-current edge,
    i [A/dm²] = I (5.10 - 5.24 log10(L / cm)),  0.635 cm <= L <= 8.255 cm,
is an average over several baths. Outside its range it is refused here: it turns negative at 9.4 cm
and grows without bound towards the edge.

What the comparison shows. Without polarisation the trapezoid has an exact answer
(Schwarz-Christoffel), with polarisation an independent one by finite elements; the field agrees
with both to half a percent. The formula does not: it lies a tenth above every one of them over the
nearest 2 cm and a tenth to a quarter below over the farthest 3 cm, for polarisation lowers the far
end's share no more than it raises the near end's. Its mean over its range, and its values in the
middle, agree within 5 % for Wagner numbers (on the cathode's length) from 0.003 to 0.05, those of
common baths. So what is asked of the field against the formula is asked there, and the ends are
held to the deviation that the exact answer has.
"""

from functools import cache
from math import hypot, log, log10

from tankside.base.errors import OutsideValidity
from tankside.base.messages import Quantity
from tankside.field.kinetics import LinearPolarisation, fixed_potential
from tankside.field.problem import Electrode, ElectrodeLaw
from tankside.validation.cases import quantity
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    WALL,
    DrawnCell,
    Electrolysis,
    floor,
    spaced,
    upright,
)

NEAR_SIDE, FAR_SIDE, APART = 47.6e-3, 127.0e-3, 63.5e-3
"""The parallel sides, and the distance between them [m]."""
DEPTH = 267e-6 / ((NEAR_SIDE + FAR_SIDE) / 2 * APART)
"""Of 267 mL [m]."""
CONDUCTIVITY = 20.0
"""[S m⁻¹]"""
CURRENT = 1.0
"""[A]"""
SLANT = hypot(FAR_SIDE - NEAR_SIDE, APART)
"""Length of the cathode [m]."""
NEAREST, FARTHEST = 0.635e-2, 8.255e-2
"""Range of the published formula [m]."""


def published_current_density(distance: float, current: float) -> float:
    """The formula [A m⁻²] at `distance` from the high-current edge [m], for a cell current [A]."""
    _within_range(distance)
    return 100.0 * current * (5.10 - 5.24 * log10(100.0 * distance))


def published_mean(start: float, end: float, current: float) -> float:
    """The formula averaged from `start` to `end` [m], in closed form [A m⁻²]."""
    _within_range(start)
    _within_range(end)

    def integral(distance: float) -> float:
        x = 100.0 * distance
        return 5.10 * x - 5.24 * (x * log(x) - x) / log(10.0)

    return current * (integral(end) - integral(start)) / (end - start)


def _within_range(distance: float) -> None:
    if not NEAREST <= distance <= FARTHEST:
        raise OutsideValidity(
            "the published formula of the slanted cell holds from {nearest} to {farthest} of the "
            "high-current edge, not at {distance}",
            nearest=Quantity(NEAREST, "cm", decimals=3, bare=True),
            farthest=Quantity(FARTHEST, "cm", decimals=3),
            distance=Quantity(distance, "cm", decimals=3),
        )


@quantity("slanted cell: published formula")
def published(distance_m: float, current_A: float) -> float:
    """The formula itself [A m⁻²], against what the same source says elsewhere."""
    return published_current_density(distance_m, current_A)


@quantity("slanted cell: field over published")
def over_published(wagner: float, from_m: float, to_m: float) -> float:
    """Field averaged over part of the panel, over the formula's average there [-]."""
    return _mean(_field(wagner), from_m, to_m) / published_mean(from_m, to_m, CURRENT)


@quantity("slanted cell: relative current")
def relative_current(wagner: float, from_m: float, to_m: float) -> float:
    """Current density averaged over part of the panel, over the mean on the whole of it [-]."""
    field = _field(wagner)
    return _mean(field, from_m, to_m) / field.mean("cathode")


@quantity("slanted cell: resistance")
def resistance(wagner: float) -> float:
    """Conductivity x depth x voltage over current [-]."""
    field = _field(wagner)
    return CONDUCTIVITY * DEPTH * field.solution.cell_voltage / CURRENT


def cathode_law(wagner: float) -> ElectrodeLaw:
    """Linear polarisation with `wagner` on the cathode's length; 0 is the primary limit."""
    if wagner == 0.0:
        return fixed_potential(conductivity=CONDUCTIVITY, length=SLANT)
    return LinearPolarisation(resistance=wagner * SLANT / CONDUCTIVITY)


def _mean(field: Electrolysis, start: float, end: float) -> float:
    """Between two distances from the near edge, where the cathode's face ends [A m⁻²]."""
    return field.mean_between("cathode", 1 - end / SLANT, 1 - start / SLANT)


@cache
def _field(wagner: float) -> Electrolysis:
    electrodes = (
        Electrode(
            group=ANODE, anode=True, law=fixed_potential(conductivity=CONDUCTIVITY, length=SLANT)
        ),
        Electrode(group=CATHODE, anode=False, law=cathode_law(wagner)),
    )
    return _cell().electrolysed(electrodes, conductivity=CONDUCTIVITY, total_current=CURRENT)


def _cell() -> DrawnCell:
    a, b, c, d = (0.0, 0.0), (NEAR_SIDE, 0.0), (FAR_SIDE, APART), (0.0, APART)
    z = -DEPTH + DEPTH * spaced(DEPTH, 4e-3)
    along = spaced(SLANT, 3e-3, start=0.4e-3, end=1.5e-3)
    near = spaced(NEAR_SIDE, 4e-3, start=3e-3, end=0.5e-3)
    far = spaced(FAR_SIDE, 4e-3, start=3e-3, end=1.5e-3)
    facing = spaced(APART, 4e-3, start=2e-3, end=3e-3)
    faces = (
        upright("anode", ANODE, a, d, facing, z),
        upright("far side", WALL, d, c, far, z),
        upright("cathode", CATHODE, c, b, 1 - along[::-1], z),
        upright("near side", WALL, b, a, 1 - near[::-1], z),
        floor((a, b, c, d), spaced(0.08, 4e-3, start=3e-3, end=1e-3), along, DEPTH),
    )
    return DrawnCell(faces=faces, mirror_level=0.0)
