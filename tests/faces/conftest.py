"""A small job in a folder, for the faces to be tried on."""

import struct
from pathlib import Path

import numpy as np
import pytest

JOB = """\
[bath]
family = "acid sulfate"
copper_sulfate_pentahydrate = "75 g/L"
sulfuric_acid = "190 g/L"
chloride = "70 mg/L"
temperature = "25 degC"
agitation = "gentle air"

[tank]
shape = "box"
inside = ["30 cm", "20 cm", "25 cm"]
liquid_depth = "20 cm"

[[anode]]
shape = "plate"
size = ["12 cm", "12 cm"]
at = ["-13 cm", "0 cm", "10 cm"]
facing = [1, 0, 0]

[[anode]]
shape = "plate"
size = ["12 cm", "12 cm"]
at = ["13 cm", "0 cm", "10 cm"]
facing = [-1, 0, 0]

[part]
file = "block.stl"
unit = "mm"
at = ["0 cm", "0 cm", "10 cm"]
rotate = [0, 0, 0]
surface = "metal"

[[contact]]
near = ["0 cm", "0 cm", "12 cm"]
wire = "0.8 mm"

[supply]
current_limit = "5 A"
voltage_limit = "8 V"

[goal]
thickness = "50 um"
measured_at = "mean"

[detail]
part_panels = 2000
"""


def block_stl(size: float = 40.0) -> bytes:
    """A cube of `size` about the origin as a binary STL."""
    half = size / 2
    corners = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) * half
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    triangles = [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))]
    rows = b"".join(struct.pack("<12fH", 0, 0, 0, *corners[list(t)].ravel(), 0) for t in triangles)
    return b"a block".ljust(80, b" ") + struct.pack("<I", len(triangles)) + rows


@pytest.fixture
def job_folder(tmp_path: Path) -> Path:
    """A folder with job.toml and block.stl."""
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    (tmp_path / "block.stl").write_bytes(block_stl())
    return tmp_path
