"""Work that is really done, in this process: a part with a hole, and the coarse plan of a coated
block, so that pages are seen with what the core truly says. The parts are INVENTED."""

import struct
from typing import Any

import numpy as np

from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.app.work.worker import worked
from tankside.main import _LocalTools
from tests.unit.web.desk import IdleQueue

JOB = """
[bath]
family = "acid sulfate"
copper_sulfate_pentahydrate = "75 g/L"
sulfuric_acid = "190 g/L"
chloride = "70 mg/L"
temperature = "42 degC"
agitation = "gentle air"

[tank]
shape = "box"
inside = ["30 cm", "24 cm", "30 cm"]
liquid_depth = "25 cm"

[[anode]]
shape = "plate"
size = ["16 cm", "20 cm"]
at = ["-13 cm", "0 cm", "14 cm"]
facing = [1, 0, 0]

[part]
file = "block.stl"
unit = "mm"
at = ["0 cm", "0 cm", "10 cm"]
print = { density = "0.5 g/mL" }
seed = { sheet_resistance = "3 ohm" }

[[contact]]
near = ["0.75 cm", "0.5 cm", "13 cm"]
wire = "0.3 mm"

[supply]
current_limit = "5 A"
voltage_limit = "8 V"

[goal]
thickness = "120 um"

[detail]
part_panels = 2000
"""


class _Pipe:
    """One order in, everything told out."""

    def __init__(self, work: Work) -> None:
        self.orders, self.told = [work.order], list[Any]()

    def recv(self) -> Any:
        if not self.orders:
            raise EOFError
        return self.orders.pop()

    def send(self, message: Any) -> None:
        self.told.append(message)


def done(queue: IdleQueue, work: Work) -> Work:
    """The work, carried out by the worker's own code."""
    pipe = _Pipe(work)
    worked(pipe, queue.folder.root, _LocalTools(), 2**46)  # type: ignore[arg-type]
    name, state, _fault, said = pipe.told[-1]
    assert (name, state) == ("ended", WorkState.DONE), said
    queue.end(work, state)
    return queue.get(work.id)


def open_part(queue: IdleQueue) -> Work:
    """A block of 20 by 15 by 30 mm of which one triangle is missing, examined without its unit."""
    given = {"block.stl": block(leave=1)}
    options = {"file": "block.stl", "unit": ""}
    return done(queue, queue.add(WorkKind.PART, "block", given, options=options))


def coated_plan(queue: IdleQueue) -> Work:
    """The plan of a coated block that floats."""
    given = {"block.stl": block(), "job.toml": JOB.encode()}
    options = {"job": "job.toml"}
    return done(queue, queue.add(WorkKind.PLAN, "block", given, options=options))


def block(leave: int = 0) -> bytes:
    """A binary STL of a block with its corner at the origin [mm], without its first triangles."""
    x, y, z = 20.0, 15.0, 30.0
    corners = np.array(
        [[0, 0, 0], [x, 0, 0], [x, y, 0], [0, y, 0], [0, 0, z], [x, 0, z], [x, y, z], [0, y, z]]
    )
    faces = ((0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7))
    triangles = [three for a, b, c, d in faces for three in ((a, b, c), (a, c, d))][leave:]
    rows = [struct.pack("<12fH", 0, 0, 0, *corners[list(one)].ravel(), 0) for one in triangles]
    return b"\0" * 80 + struct.pack("<I", len(rows)) + b"".join(rows)
