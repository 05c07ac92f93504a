"""The meshes of the rigs that are being edited: read once, and given a coarse surface for checks.

A few are kept in memory, by the content of their files, because the same rig is looked at again and
again while a person moves things about.
"""

import threading
from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property
from pathlib import PurePath

from tankside.app.rig.poses import Box
from tankside.app.store_ports import Store
from tankside.app.store_records import JobRecord, PartRecord
from tankside.base.errors import BadInput
from tankside.part.mesh import TriangleMesh
from tankside.part.surface import AnalysisSurface

CHECKED_TRIANGLES = 2000
"""Triangles of a part while its rig is checked [-]; a plan looks again with all of its own."""
MOST_KEPT = 6
"""Meshes that are kept at once."""


class StoredFiles:
    """The mesh files that a rig's job names, as the store holds them."""

    def __init__(self, store: Store, record: JobRecord) -> None:
        self._store = store
        self._parts = [store.parts.find(id).value for id in record.parts]

    def part(self, name: str, *, where: str) -> PartRecord:
        """The part of a file's name, or of its stem where the file came anew in another form."""
        for key in (str, lambda path: PurePath(path).stem):
            found = [one for one in self._parts if key(one.file.name) == key(name)]
            if found:
                return found[0]
        raise BadInput(
            "the mesh {name!r} is not kept with this rig; hand it in", name=name, where=where
        )

    def read(self, name: str, *, where: str) -> bytes:
        """A file's content; BadInput where the rig has none of this name."""
        return self._store.content(self.part(name, where=where).file.sha256)


@dataclass(frozen=True)
class RigMesh:
    """A part's mesh as in its file [m]; its coarse surface is made when it is first asked for."""

    mesh: TriangleMesh

    @cached_property
    def surface(self) -> AnalysisSurface:
        """The coarse surface; MeshDefect where the mesh has none."""
        from tankside.part.analysis import analysis_surface

        return analysis_surface(self.mesh, triangles=CHECKED_TRIANGLES)

    @property
    def box(self) -> Box:
        """Low and high corner [m]."""
        low, high = (tuple(map(float, corner)) for corner in self.mesh.box)
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])


class RigMeshes:
    """Meshes by content and unit, the last few that were asked for. Any thread may ask."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[tuple[str, str], RigMesh] = OrderedDict()

    def of(self, files: StoredFiles, name: str, unit: str | None, *, where: str) -> RigMesh:
        """A part's mesh; BadInput or MeshDefect where its file is not good for one."""
        from tankside.part.read import read_part

        key = (files.part(name, where=where).file.sha256, unit or "")
        with self._lock:
            if key not in self._kept:
                mesh = read_part(files.read(name, where=where), name, unit).mesh
                self._kept[key] = RigMesh(mesh)
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]
