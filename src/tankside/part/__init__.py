"""The part: its file as a mesh, the report on it, repair, measures, pockets, recesses, and the skin
that the field is solved on. Names are fetched when first used, so that importing the room is light.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.part.analysis import analysis_surface
    from tankside.part.floating import Buoyancy, buoyancy, print_mass
    from tankside.part.measures import Measures, measured
    from tankside.part.mesh import TriangleMesh
    from tankside.part.pockets import Pocket, Pockets
    from tankside.part.read import LoadedPart, UnitOrigin, read_part
    from tankside.part.recesses import Recess, Recesses, deepest_recesses
    from tankside.part.repair import RepairReport, repaired
    from tankside.part.report import PartReport, examined
    from tankside.part.surface import AnalysisSurface

_HOMES = {
    "AnalysisSurface": "surface",
    "Buoyancy": "floating",
    "LoadedPart": "read",
    "Measures": "measures",
    "PartReport": "report",
    "Pocket": "pockets",
    "Pockets": "pockets",
    "Recess": "recesses",
    "Recesses": "recesses",
    "RepairReport": "repair",
    "TriangleMesh": "mesh",
    "UnitOrigin": "read",
    "analysis_surface": "analysis",
    "buoyancy": "floating",
    "deepest_recesses": "recesses",
    "examined": "report",
    "measured": "measures",
    "print_mass": "floating",
    "read_part": "read",
    "repaired": "repair",
}

__all__ = [
    "AnalysisSurface",
    "Buoyancy",
    "LoadedPart",
    "Measures",
    "PartReport",
    "Pocket",
    "Pockets",
    "Recess",
    "Recesses",
    "RepairReport",
    "TriangleMesh",
    "UnitOrigin",
    "analysis_surface",
    "buoyancy",
    "deepest_recesses",
    "examined",
    "measured",
    "print_mass",
    "read_part",
    "repaired",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"the room part has no {name!r}")
    return getattr(import_module(f"tankside.part.{_HOMES[name]}"), name)
