"""What the pages and the API stand on alike."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.rig.meshes import RigMeshes
from tankside.app.store_ports import Store
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.preferences import KeptPreferences
from tankside.app.work.queue import WorkQueue

if TYPE_CHECKING:
    from tankside.app.ports import Tools


@dataclass(frozen=True, kw_only=True)
class Workplace:
    """home           the folder of the person's data
    queue          of long work
    runs           that are going on, and those that were
    store          everything that the shop keeps; any thread may use it
    tools          the adapters of this machine
    preferences    how the people of this bench like things written
    meshes         of the rigs that are being edited"""

    home: Path
    queue: WorkQueue
    runs: LiveRuns
    store: Store
    tools: "Tools"
    preferences: KeptPreferences
    meshes: RigMeshes = field(default_factory=RigMeshes)
