"""An INVENTED plan: a small sphere, two plates, a wire, a thief and a shield in a box.

No number in it was computed by a solver or read anywhere; they are only plausible in size, and
every sheet is checked against this value, not against physics.
"""

from collections.abc import Callable

import numpy as np
import pytest

from tankside.base.arrays import Bools, Floats
from tankside.base.intervals import Interval
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Body, Cell, Role
from tankside.cell.description import BoxTank, CellDescription, PlacedPart, Plate
from tankside.part.mesh import TriangleMesh
from tankside.plan.current import BURNING_FROM
from tankside.plan.outcome import BARE_BELOW_M
from tankside.plan.plan import (
    AnodeLoad,
    Balances,
    BodyResult,
    Goal,
    HeatBalance,
    MeasuredAt,
    Plan,
    Spread,
    VoltageSplit,
    WireLoad,
)

LIQUID_LEVEL = 0.25


@pytest.fixture(scope="session")
def plan() -> Plan:
    """The invented plan with cautions, burning and bare places."""
    return invented_plan(sphere(0.02, (0.0, 0.0, 0.13)))


@pytest.fixture(scope="session")
def invented() -> Callable[..., Plan]:
    """Makes the invented plan around another part."""
    return invented_plan


@pytest.fixture(scope="session")
def ball() -> Callable[..., TriangleMesh]:
    """Makes spheres."""
    return sphere


def invented_plan(
    part: TriangleMesh,
    exposure: Floats | None = None,
    *,
    cautions: tuple[str, ...] | None = None,
    troubled: bool = True,
) -> Plan:
    """A plan around `part` whose thickness follows `exposure` (n,) or else the height."""
    if exposure is None:
        height = part.centroids[:, 2]
        exposure = 0.4 + (height - height.min()) / (height.max() - height.min())
    if troubled:
        exposure = np.where(exposure <= np.quantile(exposure, 0.02), 0.004, exposure)
    exposure = exposure / np.average(exposure, weights=part.areas)
    limit_fraction = exposure * (1.05 / exposure.max() if troubled else 0.8 / exposure.max())
    body = Body(role=Role.PART, number=1, name="the part", surface=part)
    results = (_result(body, exposure, limit_fraction), *_surroundings(part))
    return _plan(part, results, cautions)


def _result(body: Body, exposure: Floats, limit_fraction: Floats) -> BodyResult:
    return BodyResult(
        body=body,
        current_density=180.0 * exposure,
        fraction_of_limit=limit_fraction,
        thickness=120e-6 * exposure,
    )


def _surroundings(part: TriangleMesh) -> tuple[BodyResult, ...]:
    high = part.box[1]
    top = (0.0, 0.012, float(high[2]) - 0.002)
    bodies = (
        Body(role=Role.WIRE, number=1, name="the wire of contact 1", surface=rod(top)),
        Body(
            role=Role.THIEF,
            number=1,
            name="thief 1",
            surface=box((-0.03, 0.05, 0.06), (0.03, 0.052, 0.07)),
        ),
        Body(
            role=Role.ANODE,
            number=1,
            name="anode 1",
            surface=box((-0.135, -0.08, 0.04), (-0.13, 0.08, 0.24)),
        ),
        Body(
            role=Role.ANODE,
            number=2,
            name="anode 2",
            surface=box((0.13, -0.08, 0.04), (0.135, 0.08, 0.24)),
        ),
        Body(
            role=Role.SHIELD,
            number=1,
            name="shield 1",
            surface=box((0.07, -0.04, 0.08), (0.072, 0.04, 0.12)),
        ),
        Body(
            role=Role.VESSEL,
            number=1,
            name="the tank",
            surface=box((-0.15, -0.12, 0.0), (0.15, 0.12, LIQUID_LEVEL), open_top=True).flipped(),
        ),
    )
    densities = {Role.WIRE: 350.0, Role.THIEF: 200.0, Role.ANODE: -45.0}
    return tuple(_even(body, densities.get(body.role, 0.0)) for body in bodies)


def _even(body: Body, density: float) -> BodyResult:
    count = len(body.surface.triangles)
    return BodyResult(
        body=body,
        current_density=np.full(count, density),
        fraction_of_limit=np.full(count, max(density, 0.0) / 600.0),
        thickness=np.full(count, density * 120e-6 / 180.0),
    )


def _plan(
    part: TriangleMesh, results: tuple[BodyResult, ...], cautions: tuple[str, ...] | None
) -> Plan:
    first = results[0]
    area = part.area

    def share(panels: Bools) -> float:
        return float(part.areas[panels].sum() / area)

    return Plan(
        goal=Goal(thickness=120e-6, measured_at=MeasuredAt.MEAN),
        cell=Cell(
            bodies=tuple(result.body for result in results),
            liquid_level=LIQUID_LEVEL,
            solution_volume=17.97e-3,
            notes=("the wire of contact 1 was moved 0.3 mm to the part's surface",),
            description=_description(part),
        ),
        electrolyte=_electrolyte(),
        current=1.392,
        duration=19440.0,
        charge=1.392 * 19440.0,
        copper_mass=8.91e-3,
        copper_on_part=7.81e-3,
        part_area=area,
        cathode_area=area + 4.1e-4,
        current_density=_spread(first.current_density, part.areas),
        thickness=_spread(first.thickness, part.areas),
        thickness_mean_interval=Interval(112e-6, 120e-6, 125e-6),
        thickness_minimum_interval=Interval(0.2e-6, 0.48e-6, 0.9e-6),
        thickness_p05_interval=Interval(58e-6, 71e-6, 79e-6),
        voltage=VoltageSplit(total=1.62, anode=0.11, solution=1.12, cathode=0.36, leads=0.03),
        voltage_interval=Interval(1.41, 1.62, 1.98),
        limited_by="The deposit sets the current: more, and over 5 % of the part's area would "
        "pass 40 % of the copper limit, where deposits roughen.",
        burning_area_fraction=share(first.fraction_of_limit >= BURNING_FROM),
        rough_area_fraction=0.041,
        bare_area_fraction=share(first.thickness < BARE_BELOW_M),
        growth_of_size=240e-6,
        wagner_number=0.31,
        anodes=tuple(
            AnodeLoad(
                number=number,
                current=current,
                area=0.0338,
                mean_current_density=current / 0.0338,
                p95_current_density=1.6 * current / 0.0338,
                copper_used=current / 1.392 * 8.91e-3,
                may_go_passive=False,
            )
            for number, current in ((1, 0.701), (2, 0.691))
        ),
        wires=(
            WireLoad(
                number=1,
                carried_current=1.22,
                own_current=0.094,
                metal_current_density=2.43e6,
                voltage_drop=0.011,
                copper_gained=0.6e-3,
                remark="",
            ),
        ),
        thief_current=0.078,
        heat=HeatBalance(
            ohmic_power=1.9,
            loss=Interval(9.0, 14.0, 22.0),
            holding_power=Interval(7.0, 12.0, 20.0),
            warm_up_energy=3.6e5,
            water_lost=Interval(0.03, 0.06, 0.11),
        ),
        balances=Balances(charge_balance=3.1e-8, mass_balance=1.2e-9, closure=1.7e-4),
        results=results,
        cautions=(
            "Part of the surface plates above the limit of copper: it will burn to dark powder. "
            "Lower the current or add a thief.",
            "Sulfuric acid at 190 g/L burns skin and eyes: gloves, goggles, water within reach.",
        )
        if cautions is None
        else cautions,
        assumptions=(
            "The deposit's density is that of bulk copper.",
            "The boundary layer under gentle air is the same everywhere on the part.",
            "The tank's walls and the liquid's surface carry no current.",
        ),
        sources=("newman1966", "crc2010"),
        warnings=("Inside the socket the answer is less sure: under 1 % of the mean current.",),
    )


def _description(part: TriangleMesh) -> CellDescription:
    """What was said of the invented cell."""
    return CellDescription(
        tank=BoxTank(inside=(0.3, 0.24, 0.3)),
        liquid_depth=LIQUID_LEVEL,
        anodes=(
            Plate(size=(0.16, 0.2), thickness=5e-3, at=(-0.1325, 0.0, 0.14)),
            Plate(size=(0.16, 0.2), thickness=5e-3, at=(0.1325, 0.0, 0.14), facing=(-1, 0, 0)),
        ),
        parts=(PlacedPart(surface=part, at=(0.0, 0.0, 0.0)),),
        shields=(Plate(size=(0.08, 0.04), thickness=2e-3, at=(0.071, 0.0, 0.1)),),
        thieves=(
            Plate(size=(0.06, 0.01), thickness=2e-3, at=(0.0, 0.051, 0.065), facing=(0, 1, 0)),
        ),
    )


def _spread(values: Floats, areas: Floats) -> Spread:
    order = np.argsort(values, kind="stable")
    share = np.cumsum(areas[order]) / areas.sum()
    p05, p95 = (float(values[order][np.searchsorted(share, part)]) for part in (0.05, 0.95))
    return Spread(
        mean=float(np.average(values, weights=areas)),
        minimum=float(values.min()),
        p05=p05,
        p95=p95,
        maximum=float(values.max()),
    )


def _electrolyte() -> Electrolyte:
    return Electrolyte(
        family="acid sulfate",
        temperature=298.15,
        copper_concentration=Interval.about(300.0, 0.02),
        density=Interval.about(1160.0, 0.01),
        viscosity=Interval.about(1.4e-3, 0.05),
        heat_capacity=Interval.about(3500.0, 0.05),
        conductivity=Interval.about(52.0, 0.05),
        diffusivity=Interval.about(5.6e-10, 0.1),
        boundary_layer=Interval(60e-6, 90e-6, 140e-6),
        exchange_current_density=Interval(5.0, 10.0, 20.0),
        cathodic_transfer=Interval(0.4, 0.5, 0.6),
        anodic_transfer=Interval(1.3, 1.5, 1.6),
        hydrogen_exchange=Interval(1e-4, 1e-3, 1e-2),
        hydrogen_transfer=Interval(0.4, 0.5, 0.6),
        hydrogen_equilibrium=Interval(-0.36, -0.34, -0.32),
        anode_limit=Interval(300.0, 450.0, 600.0),
    )


def sphere(radius: float, centre: tuple[float, float, float], rings: int = 16) -> TriangleMesh:
    """A closed sphere of triangles between circles of latitude."""
    turns = 2 * rings
    polar = np.linspace(0, np.pi, rings + 1)[1:-1]
    azimuth = np.arange(turns) * 2 * np.pi / turns
    grid = np.stack(
        [
            np.sin(polar)[:, None] * np.cos(azimuth),
            np.sin(polar)[:, None] * np.sin(azimuth),
            np.broadcast_to(np.cos(polar)[:, None], (rings - 1, turns)),
        ],
        axis=2,
    ).reshape(-1, 3)
    vertices = np.vstack([[0, 0, 1], grid, [0, 0, -1]]) * radius + np.array(centre)
    last = len(vertices) - 1
    triangles = []
    for k in range(turns):
        j = (k + 1) % turns
        triangles.append((0, 1 + k, 1 + j))
        for ring in range(rings - 2):
            a, b = 1 + ring * turns, 1 + (ring + 1) * turns
            triangles += [(a + k, b + k, b + j), (a + k, b + j, a + j)]
        a = 1 + (rings - 2) * turns
        triangles.append((a + k, last, a + j))
    return TriangleMesh(vertices=vertices, triangles=np.array(triangles))


def box(
    low: tuple[float, float, float], high: tuple[float, float, float], *, open_top: bool = False
) -> TriangleMesh:
    """A box of two triangles a face, normals out."""
    x, y, z = np.meshgrid(*zip(low, high, strict=True), indexing="ij")
    vertices = np.stack([x, y, z], axis=3).reshape(-1, 3)
    faces = [(0, 2, 6, 4), (0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (1, 5, 7, 3)]
    kept = faces[:-1] if open_top else faces
    triangles = [(a, b, c) for a, b, c, d in kept] + [(a, c, d) for a, b, c, d in kept]
    return TriangleMesh(vertices=vertices, triangles=np.array(triangles))


def rod(foot: tuple[float, float, float], radius: float = 0.0004, sides: int = 8) -> TriangleMesh:
    """An upright rod from `foot` to the liquid's surface, open at both ends."""
    azimuth = np.arange(sides) * 2 * np.pi / sides
    ring = np.stack([np.cos(azimuth), np.sin(azimuth)], axis=1) * radius + np.array(foot[:2])
    heights = np.linspace(foot[2], LIQUID_LEVEL, 12)
    vertices = np.vstack([np.column_stack([ring, np.full(sides, height)]) for height in heights])
    triangles = []
    for level in range(len(heights) - 1):
        a, b = level * sides, (level + 1) * sides
        for k in range(sides):
            j = (k + 1) % sides
            triangles += [(a + k, a + j, b + j), (a + k, b + j, b + k)]
    return TriangleMesh(vertices=vertices, triangles=np.array(triangles))
