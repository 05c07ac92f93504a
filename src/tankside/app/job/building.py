"""Turns a read job into the core's values: bath, cell description, goal, supply, surroundings."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial.transform import Rotation

from tankside.app.job import bodies, schema
from tankside.app.job.coat import JobCoat, coat_of
from tankside.app.ports import Files
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, MeshDefect, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.progress import Progress, silent
from tankside.cell.description import (
    Basket,
    BoxTank,
    CellDescription,
    ContactSpec,
    CylinderTank,
    MeshShape,
    PlacedPart,
    Plate,
    PrismTank,
    Rod,
    Shape,
    Tank,
)
from tankside.part.analysis import FEWEST, analysis_surface
from tankside.part.floating import print_mass
from tankside.part.mesh import TriangleMesh
from tankside.part.read import LoadedPart, UnitOrigin, read_part
from tankside.part.surface import AnalysisSurface
from tankside.plan.plan import Goal, MeasuredAt, Supply, Surroundings

LEADS = Interval(0.0, 0.01, 0.05)
"""Resistance of a bench supply's leads and clips where none is given [ohm]: our guess, half a metre
of 1.5 mm² each way and two clips."""

MOST_COPPER_M = 0.01
"""Thickness from which a goal is a slip of its unit [m]: our choice, thicker than electroformers
grow."""

MANY_PARTS = 30_000
"""Panels that many parts get together where each would get few [-]."""


@dataclass(frozen=True, kw_only=True)
class BuiltPart:
    """A part as loaded and as it will be analysed; its coat, if it has one."""

    loaded: LoadedPart
    surface: AnalysisSurface
    placed: PlacedPart
    coat: JobCoat | None = None


def supply_of(job: schema.Job) -> Supply:
    """Limits and leads of the supply."""
    limits = job.supply
    given = limits.lead_resistance
    return Supply(
        current_limit=limits.current_limit,
        voltage_limit=limits.voltage_limit,
        lead_resistance=LEADS if given is None else Interval.exact(given),
    )


def goal_of(job: schema.Job) -> Goal:
    """What is wanted; BadInput for more copper than anybody plates."""
    if job.goal.thickness > MOST_COPPER_M:
        raise BadInput(
            "{thickness} of copper is more than {most}, and months of work: is the unit right? "
            "Plating takes micrometres, as '120 um'",
            thickness=Quantity(job.goal.thickness, "mm"),
            most=Quantity(MOST_COPPER_M, "mm"),
            where="[goal] thickness",
        )
    return Goal(
        thickness=job.goal.thickness,
        measured_at=MeasuredAt(job.goal.measured_at),
        current=job.goal.current,
        current_density=job.goal.current_density,
    )


def surroundings_of(job: schema.Job) -> Surroundings:
    """The air, and whether a lid is on."""
    return Surroundings(
        air_temperature=job.room.air_temperature,
        relative_humidity=job.room.relative_humidity,
        covered=job.tank.covered,
    )


def parts_of(job: schema.Job, files: Files, progress: Progress) -> tuple[BuiltPart, ...]:
    """Every part, read and given its analysis surface; parts of one file share its reading."""
    share = panels_of_each(job.detail.part_panels, len(job.parts))
    return tuple(
        _built(job, number, part, files, share, progress)
        for number, part in enumerate(job.parts, start=1)
    )


def panels_of_each(panels: int, parts: int) -> int:
    """Panels of each of several parts that share `panels`: 2000 at least while they are few, and
    fewer where they are many, so that a rig of small parts can still be solved."""
    return max(panels // parts, min(2000, MANY_PARTS // parts), FEWEST)


def _built(
    job: schema.Job,
    number: int,
    part: schema.Part,
    files: Files,
    panels: int,
    progress: Progress,
) -> BuiltPart:
    where = f"[part {number}]" if len(job.parts) > 1 else "[part]"
    loaded = _loaded(part.file, part.unit, files, where)
    progress("making the part's analysis surface", 0.0)
    surface = _skin(loaded.mesh, panels, f"{where} file", progress, _contacts_on(job, number, part))
    mass = None
    if part.print is not None:
        mass = print_mass(
            surface.mesh,
            density=part.print.density,
            infill=part.print.infill,
            wall=part.print.wall,
        )
    coat = coat_of(part, surface.mesh, where)
    placed = PlacedPart(
        surface=surface,
        at=part.at,
        rotation=part.rotate,
        coat=None if coat is None else coat.coat,
        mass=mass,
    )
    return BuiltPart(loaded=loaded, surface=surface, placed=placed, coat=coat)


def _contacts_on(job: schema.Job, number: int, part: schema.Part) -> Floats | None:
    """Where the part's contacts were asked for, in the coordinates of its file (n, 3) [m]."""
    near = [contact.near for contact in job.contact if contact.part == number]
    if not near:
        return None
    turn = Rotation.from_euler("xyz", part.rotate, degrees=True).as_matrix()
    return np.asarray((np.array(near) - np.array(part.at)) @ turn)


def _skin(
    mesh: TriangleMesh, panels: int, where: str, progress: Progress, focus: Floats | None = None
) -> AnalysisSurface:
    """The analysis surface of a mesh; a defect is placed in the job file."""
    try:
        return analysis_surface(mesh, triangles=panels, focus=focus, progress=progress)
    except MeshDefect as defect:
        raise MeshDefect(defect.message, where=where) from defect


def _loaded(name: str, unit: str | None, files: Files, where: str) -> LoadedPart:
    """A mesh file whose unit is known; a guess is shown and asked, never used."""
    loaded = read_part(files.read(name, where=f"{where} file"), name, unit)
    if loaded.unit_origin is UnitOrigin.GUESSED:
        raise BadInput(
            "{name}: {unit_explanation}; write unit = {unit!r} if that is so",
            name=name,
            unit_explanation=loaded.unit_explanation,
            unit=loaded.unit,
            where=f"{where} unit",
        )
    return loaded


def description_of(
    job: schema.Job, parts: tuple[PlacedPart, ...], files: Files, solution_density: float
) -> CellDescription:
    """The cell as the person wrote it, with its parts as they are placed."""
    return CellDescription(
        tank=_tank(job.tank),
        liquid_depth=job.tank.liquid_depth,
        anodes=tuple(
            _shape(shape, files, f"[anode {number}]")
            for number, shape in enumerate(job.anode, start=1)
        ),
        parts=parts,
        contacts=tuple(
            _contact(contact, number, len(parts))
            for number, contact in enumerate(job.contact, start=1)
        ),
        shields=tuple(
            _shape(shape, files, f"[shield {number}]")
            for number, shape in enumerate(job.shield, start=1)
        ),
        thieves=tuple(
            _shape(shape, files, f"[thief {number}]")
            for number, shape in enumerate(job.thief, start=1)
        ),
        solution_density=solution_density,
    )


def _contact(contact: schema.Contact, number: int, parts: int) -> ContactSpec:
    if contact.part > parts:
        known = [str(part) for part in range(1, parts + 1)]
        raise UnknownName("part", str(contact.part), known, where=f"[contact {number}] part")
    return ContactSpec(
        near=contact.near,
        wire_diameter=contact.wire,
        insulated=contact.insulated,
        via=contact.via,
        part=contact.part,
    )


def _tank(tank: bodies.BoxTank | bodies.CylinderTank | bodies.PrismTank) -> Tank:
    if isinstance(tank, bodies.BoxTank):
        return BoxTank(inside=tank.inside)
    if isinstance(tank, bodies.CylinderTank):
        return CylinderTank(diameter=tank.diameter, height=tank.height)
    return PrismTank(footprint=tank.footprint, height=tank.height)


def _shape(
    shape: bodies.Plate | bodies.Rod | bodies.Basket | bodies.MeshBody, files: Files, where: str
) -> Shape:
    if isinstance(shape, bodies.Plate):
        return Plate(size=shape.size, at=shape.at, facing=shape.facing, thickness=shape.thickness)
    if isinstance(shape, bodies.Rod):
        return Rod(diameter=shape.diameter, length=shape.length, at=shape.at, axis=shape.axis)
    if isinstance(shape, bodies.Basket):
        return Basket(size=shape.size, at=shape.at, facing=shape.facing)
    return MeshShape(mesh=_closed_mesh(shape, files, where), at=shape.at, rotation=shape.rotate)


def _closed_mesh(shape: bodies.MeshBody, files: Files, where: str) -> TriangleMesh:
    """The mesh of an anode, thief or shield, as an analysis surface of modest size."""
    loaded = _loaded(shape.file, shape.unit, files, where)
    return _skin(loaded.mesh, 2000, f"{where} file", silent).mesh


def tallest(parts: tuple[BuiltPart, ...]) -> float:
    """Height of the tallest part as it hangs [m], for free convection along it. One that lies flat
    counts with its outline's area over its rim, the length that level plates go by (Goldstein,
    Sparrow and Jones, Int. J. Heat Mass Transfer 16 (1973) 1025, from memory)."""
    heights = []
    for part in parts:
        turned = Rotation.from_euler("xyz", part.placed.rotation, degrees=True)
        sides = np.ptp(part.surface.mesh.vertices @ turned.as_matrix().T, axis=0)
        level = sides[0] * sides[1] / (2 * (sides[0] + sides[1]))
        heights.append(float(max(sides[2], level)))
    return max(heights)
