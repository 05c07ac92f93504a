"""Use case: what a part's file holds, whether it is whole, and what it measures.

The mesh is looked at as it is, then repaired in the open, and measured as repaired. Where it stays
open, or runs through itself, the measures that need a volume are left out and the reply says why.
"""

from dataclasses import dataclass
from typing import Any

from tankside.app.ports import Files
from tankside.base.errors import MeshDefect
from tankside.base.progress import Progress, silent
from tankside.part.floating import Buoyancy, buoyancy
from tankside.part.measures import Measures, measured
from tankside.part.pockets import Pocket, Pockets, pockets
from tankside.part.read import LoadedPart, UnitOrigin, read_part
from tankside.part.recesses import Recesses, deepest_recesses
from tankside.part.repair import RepairReport, repaired
from tankside.part.report import PartReport, examined


@dataclass(frozen=True, kw_only=True)
class PartRequest:
    """A mesh file's name, where it is read from, and the unit of its numbers if the person says;
    how it is printed (density [kg m⁻³], filled share [-], wall [m]) and the bath's density
    [kg m⁻³], for whether it floats. The defaults are a solid print of PLA in a high-throw bath."""

    file_name: str
    files: Files
    unit: str | None = None
    print_density: float = 1240.0
    infill: float = 1.0
    wall: float = 0.0012
    bath_density: float = 1160.0


@dataclass(frozen=True, kw_only=True)
class PartReply:
    """What was found. `measures`, `pockets` and `recesses` are None where the surface, even
    repaired, has no defined inside; `unmeasured` then says why in one sentence."""

    loaded: LoadedPart
    report: PartReport
    repair: RepairReport
    measures: Measures | None
    pockets: Pockets | None
    recesses: Recesses | None
    buoyancy: Buoyancy | None
    unmeasured: str = ""

    def as_json(self) -> dict[str, Any]:
        """The reply with SI numbers, the unit in each key."""
        return {
            **_file(self.loaded),
            **_state(self.report),
            "repair": list(self.repair.sentences),
            "unmeasured": self.unmeasured,
            "measures": None if self.measures is None else _measures(self.measures),
            "pockets": None if self.pockets is None else _pockets(self.pockets),
            "recesses": None if self.recesses is None else _recesses(self.recesses),
            "buoyancy": None if self.buoyancy is None else _buoyancy(self.buoyancy),
        }


def examine_a_part(request: PartRequest, progress: Progress = silent) -> PartReply:
    """Examines the file; BadInput or MeshDefect where it holds no mesh."""
    data = request.files.read(request.file_name, where="the part")
    loaded = read_part(data, request.file_name, request.unit)
    report = examined(loaded.mesh, progress=progress)
    mended, repair = repaired(loaded.mesh)
    try:
        progress("measuring", 0.0)
        measures = measured(mended)
        found = pockets(mended, progress=progress)
        recesses = deepest_recesses(mended)
        lift = buoyancy(
            mended,
            print_density=request.print_density,
            infill=request.infill,
            wall=request.wall,
            liquid_density=request.bath_density,
        )
    except MeshDefect as defect:
        return PartReply(
            loaded=loaded,
            report=report,
            repair=repair,
            measures=None,
            pockets=None,
            recesses=None,
            buoyancy=None,
            unmeasured=defect.message,
        )
    return PartReply(
        loaded=loaded,
        report=report,
        repair=repair,
        measures=measures,
        pockets=found,
        recesses=recesses,
        buoyancy=lift,
    )


def _file(loaded: LoadedPart) -> dict[str, Any]:
    return {
        "file": loaded.file_name,
        "format": loaded.file_format.value,
        "triangles": loaded.file_triangles,
        "unit": loaded.unit,
        "unit_guessed": loaded.unit_origin is UnitOrigin.GUESSED,
        "unit_explanation": loaded.unit_explanation,
        "objects": list(loaded.object_names),
        "notes": list(loaded.notes),
    }


def _state(report: PartReport) -> dict[str, Any]:
    walls = report.walls
    return {
        "box_m": report.box_sizes.tolist(),
        "triangle_area_m2": report.area,
        "bodies": [
            {"number": body.number, "kind": body.kind.value, "closed": body.closed,
             "triangles": body.triangles, "area_m2": body.area}
            for body in report.bodies
        ],
        "closed": report.closed,
        "sound": report.sound,
        "well_wound": report.well_wound,
        "holes": len(report.holes),
        "largest_hole_m": max((hole.extent for hole in report.holes), default=0.0),
        "open_edges": report.open_edges,
        "non_manifold_edges": report.non_manifold_edges,
        "flipped_edges": report.unlike_edges,
        "self_intersections": len(report.crossings.crossing),
        "overlapping_bodies": [list(pair) for pair in report.overlapping_bodies],
        "degenerate": report.degenerate,
        "duplicate": report.duplicate,
        "thinnest_wall_m": None if walls is None else walls.thinnest,
        "thin_wall_area_fraction": None if walls is None else walls.thin_area_fraction,
        "findings": list(report.sentences),
    }  # fmt: skip


def _measures(measures: Measures) -> dict[str, Any]:
    return {
        "wet_area_m2": measures.wet_area.best,
        "volume_m3": measures.material_volume.best,
        "outer_volume_m3": measures.outer_volume.best,
        "hidden_cavity_volume_m3": measures.cavity_volume.best,
        "route": measures.route.value,
        "notes": list(measures.notes),
    }


def _pockets(found: Pockets) -> dict[str, Any]:
    def told(pocket: Pocket) -> dict[str, Any]:
        return {
            "volume_m3": pocket.volume.best,
            "volume_low_m3": pocket.volume.low,
            "volume_high_m3": pocket.volume.high,
            "depth_m": pocket.depth,
            "tip_m": pocket.tip.tolist(),
        }

    return {
        "pose": "as in the file, z up",
        "gas": [told(pocket) for pocket in found.gas],
        "liquid": [told(pocket) for pocket in found.liquid],
        "grid_m": found.spacing,
        "notes": list(found.notes),
    }


def _recesses(found: Recesses) -> dict[str, Any]:
    return {
        "deepest": [
            {"depth_to_width": recess.ratio, "depth_m": recess.depth, "width_m": recess.width,
             "passage": recess.passage, "floor_m": recess.floor.tolist(),
             "mouth_m": recess.mouth.tolist()}
            for recess in found.recesses
        ],
        "hidden_area_fraction": found.hidden_area_fraction,
    }  # fmt: skip


def _buoyancy(found: Buoyancy) -> dict[str, Any]:
    return {
        "mass_kg": found.mass,
        "displaced_mass_kg": found.displaced_mass,
        "floats": found.floats,
        "notes": list(found.notes),
    }
