"""The part use case: what is whole is measured, what is broken is said to be."""

import io
import json

import numpy as np
import pytest
import trimesh

from tankside.app.examine_a_part import PartReply, PartRequest, examine_a_part
from tankside.base.errors import BadInput


class Held:
    """Files held in memory."""

    def __init__(self, **files: bytes) -> None:
        self.files = files

    def read(self, name: str, *, where: str) -> bytes:
        return self.files[name.replace(".", "_")]


def stl(mesh: trimesh.Trimesh) -> bytes:
    held = io.BytesIO()
    mesh.export(held, file_type="stl")
    return held.getvalue()


def cup() -> trimesh.Trimesh:
    """A cup that stands upright: 40 mm wide outside, 30 inside, 20 deep, in millimetres."""
    import manifold3d

    outer = manifold3d.Manifold.cylinder(30.0, 20.0, circular_segments=96)
    inner = manifold3d.Manifold.cylinder(20.0, 15.0, circular_segments=96).translate([0, 0, 10.0])
    made = (outer - inner).to_mesh()
    return trimesh.Trimesh(np.array(made.vert_properties)[:, :3], np.array(made.tri_verts))


def examined(mesh: trimesh.Trimesh, unit: str | None = "mm") -> PartReply:
    return examine_a_part(PartRequest(file_name="a.stl", files=Held(a_stl=stl(mesh)), unit=unit))


def test_a_cup_carries_bath_out_and_traps_no_air() -> None:
    reply = examined(cup())
    assert reply.report.sound
    assert reply.pockets is not None
    assert reply.pockets.gas == ()
    polygon = 96 / 2 * np.sin(2 * np.pi / 96) * 15e-3**2
    assert polygon * 20e-3 in reply.pockets.liquid[0].volume
    assert reply.recesses is not None


def test_the_reply_is_strict_json() -> None:
    told = json.loads(json.dumps(examined(cup()).as_json(), allow_nan=False))
    assert told["closed"] is True
    assert told["unit"] == "mm"
    assert told["measures"]["wet_area_m2"] == pytest.approx(cup().area * 1e-6, rel=1e-6)
    assert told["measures"]["volume_m3"] == pytest.approx(cup().volume * 1e-9, rel=1e-6)


def test_an_open_part_is_not_measured_and_says_why() -> None:
    whole = cup()
    low = trimesh.Trimesh(whole.vertices, whole.faces[whole.triangles_center[:, 2] > 1.0])
    reply = examined(low)
    assert not reply.report.closed
    assert reply.measures is None
    assert "open" in reply.unmeasured
    assert reply.as_json()["measures"] is None


def test_a_guessed_unit_is_said_to_be_one() -> None:
    told = examined(cup(), unit=None).as_json()
    assert told["unit_guessed"] is True
    assert told["unit"] == "mm"


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(BadInput, match="furlong"):
        examined(cup(), unit="furlong")
