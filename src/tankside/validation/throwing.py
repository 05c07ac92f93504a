"""The two-distance throwing cell: two cathodes share the current of one anode between them.

A long insulated box; an anode across it, a cathode at each end, K times farther on one side (Haring
and Blum 1923). Where the anode fills the cross-section the current is uniform in each half, and the
ratio M of near to far current density is that of a circuit of two branches,
    M = (rho d_far + p) / (rho d_near + p)     with p the slope of polarisation [ohm m²],
and the root of one equation where polarisation is curved. Where the anode leaves a slot open, the
circuit is only an approximation; independent finite elements say of what.
"""

from functools import cache

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.field.kinetics import LinearPolarisation, fixed_potential
from tankside.field.problem import Electrode, ElectrodeLaw
from tankside.validation.cases import quantity
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    WALL,
    DrawnCell,
    Electrolysis,
    butler_volmer,
    floor,
    rectangle,
    spaced,
    upright,
)

WIDTH, THICKNESS = 50e-3, 2e-3
"""Of the box, and of the anode [m]."""
CONDUCTIVITY = 15.0
"""[S m⁻¹]"""
MEAN = 200.0
"""Mean current density on the two cathodes [A m⁻²]."""
_NEAR, _FAR = CATHODE, CATHODE + 1
_HEIGHT, _PANEL = 15e-3, 6e-3


@quantity("throwing cell: near over far")
def current_ratio(
    near_m: float,
    far_m: float,
    polarisation_ohm_m2: float = 0.0,
    exchange_A_m2: float = 0.0,
    slot_m: float = 0.0,
) -> float:
    """Near over far cathode's mean current density [-], for linear polarisation, or Butler-Volmer
    kinetics (alpha_c = 0.5, alpha_a = 1.5, 25 °C) where an exchange current density is given."""
    field = _field(near_m, far_m, polarisation_ohm_m2, exchange_A_m2, slot_m)
    return field.mean("near") / field.mean("far")


@quantity("throwing cell: index")
def index(formula: str, distance_ratio: float, metal_ratio: float) -> float:
    """Throwing index [%] from the distance ratio K and the near to far ratio of metal M:
    "haring-blum" 100 (K - M) / K, "field" 100 (K - M) / (K + M - 2), "heatley"
    100 (K - M) / (K - 1)."""
    divisors = {
        "haring-blum": distance_ratio,
        "field": distance_ratio + metal_ratio - 2.0,
        "heatley": distance_ratio - 1.0,
    }
    if formula not in divisors:
        raise BadInput(
            "no throwing index {formula!r}; there are {divisors}",
            formula=formula,
            divisors=", ".join(divisors),
        )
    return 100.0 * (distance_ratio - metal_ratio) / divisors[formula]


@quantity("throwing cell: index of the field")
def index_of_field(formula: str, near_m: float, far_m: float, polarisation_ohm_m2: float) -> float:
    """Throwing index [%] with M from the computed field."""
    ratio = current_ratio(near_m, far_m, polarisation_ohm_m2)
    return index(formula, far_m / near_m, ratio)


def cathode_law(resistance: float, exchange: float) -> ElectrodeLaw:
    """Of the row: Butler-Volmer, linear, or none."""
    if exchange > 0:
        return butler_volmer(exchange)
    if resistance > 0:
        return LinearPolarisation(resistance=resistance)
    return fixed_potential(conductivity=CONDUCTIVITY, length=WIDTH)


@cache
def _field(
    near: float, far: float, resistance: float, exchange: float, slot: float
) -> Electrolysis:
    law = cathode_law(resistance, exchange)
    unpolarised = fixed_potential(conductivity=CONDUCTIVITY, length=WIDTH)
    electrodes = (
        Electrode(group=ANODE, anode=True, law=unpolarised),
        Electrode(group=_NEAR, anode=False, law=law),
        Electrode(group=_FAR, anode=False, law=law),
    )
    cell = _closed(near, far) if slot == 0 else _slotted(near, far, slot)
    return cell.electrolysed(
        electrodes, conductivity=CONDUCTIVITY, total_current=2 * MEAN * WIDTH * _HEIGHT
    )


def _closed(near: float, far: float) -> DrawnCell:
    """The anode, at 0 < x < THICKNESS, parts the box in two."""
    faces = []
    z = _heights()
    across = spaced(WIDTH, _PANEL)
    for name, group, start, end in (
        ("near", _NEAR, THICKNESS, THICKNESS + near),
        ("far", _FAR, -far, 0.0),
    ):
        along = spaced(end - start, _PANEL)
        left, right = (name, "anode") if group == _FAR else ("anode", name)
        groups = (group, ANODE) if group == _FAR else (ANODE, group)
        faces += [
            upright(left, groups[0], (start, 0), (start, WIDTH), across, z),
            upright("side", WALL, (start, WIDTH), (end, WIDTH), along, z),
            upright(right, groups[1], (end, WIDTH), (end, 0), across, z),
            upright("side", WALL, (end, 0), (start, 0), along, z),
            floor(rectangle(start, end, 0, WIDTH), along, across, _HEIGHT),
        ]
    return DrawnCell(faces=tuple(faces))


def _slotted(near: float, far: float, slot: float) -> DrawnCell:
    """The anode stands on the wall y = 0 and leaves a slot open beside the wall y = WIDTH."""
    z, tip, end = _heights(), WIDTH - slot, THICKNESS + near
    fine = 0.8e-3
    plate = spaced(tip, _PANEL, end=fine)
    open_ = spaced(slot, _PANEL, start=fine)
    left = spaced(far, _PANEL, end=fine)
    right = spaced(near, _PANEL, start=fine)
    middle = spaced(THICKNESS, fine)
    whole = spaced(WIDTH, _PANEL)
    length = spaced(end + far, _PANEL)
    faces = (
        upright("far", _FAR, (-far, 0), (-far, WIDTH), whole, z),
        upright("side", WALL, (-far, WIDTH), (end, WIDTH), length, z),
        upright("near", _NEAR, (end, WIDTH), (end, 0), whole, z),
        upright("side", WALL, (end, 0), (THICKNESS, 0), 1 - right[::-1], z),
        upright("anode", ANODE, (THICKNESS, 0), (THICKNESS, tip), plate, z),
        upright("anode", ANODE, (THICKNESS, tip), (0, tip), middle, z),
        upright("anode", ANODE, (0, tip), (0, 0), 1 - plate[::-1], z),
        upright("side", WALL, (0, 0), (-far, 0), 1 - left[::-1], z),
        floor(rectangle(-far, 0, 0, tip), left, plate, _HEIGHT),
        floor(rectangle(THICKNESS, end, 0, tip), right, plate, _HEIGHT),
        floor(rectangle(-far, 0, tip, WIDTH), left, open_, _HEIGHT),
        floor(rectangle(0, THICKNESS, tip, WIDTH), middle, open_, _HEIGHT),
        floor(rectangle(THICKNESS, end, tip, WIDTH), right, open_, _HEIGHT),
    )
    return DrawnCell(faces=faces)


def _heights() -> Floats:
    return -_HEIGHT + _HEIGHT * spaced(_HEIGHT, _PANEL)
