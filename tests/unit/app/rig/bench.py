"""A cube of 40 mm in a tank, to hang and to move."""

from pathlib import Path

from tankside.app.rig.keeping import Rig, RigDesk, rig_of_file
from tankside.app.rig.meshes import RigMeshes
from tankside.app.work.work import WorkKind
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.store import KeptStore
from tests.faces.conftest import JOB, block_stl
from tests.unit.web.desk import IdleQueue


def desk_over(folder: Path) -> RigDesk:
    """A desk with an empty store, and the cube's file handed in and examined."""
    queue = IdleQueue(folder / "work")
    options = {"file": "block.stl", "unit": "mm"}
    part = queue.add(WorkKind.PART, "block", {"block.stl": block_stl()}, options=options)
    queue.finish(part, b"{}")
    return RigDesk(store=KeptStore(MemoryRows()), queue=queue, meshes=RigMeshes())


def hung(desk: RigDesk) -> Rig:
    """The cube's rig."""
    return rig_of_file(desk, JOB, "block.toml")
