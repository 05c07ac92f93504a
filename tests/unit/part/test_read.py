"""Reading a part: every format by another program's writer, units, and fifty ways to be no part."""

import io
import struct
import warnings
import zipfile

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect, TanksideError, UnknownName
from tankside.part.formats.recognised import Format
from tankside.part.length_units import unit_named
from tankside.part.mesh import TriangleMesh
from tankside.part.read import UnitOrigin, read_part
from tests.unit.part.solids import box, real_mesh, sphere
from tests.unit.part.test_stl import binary, text

SOLID = box((40.0, 50.0, 60.0), at=(5.0, 6.0, 7.0))


def written(mesh: TriangleMesh, suffix: str) -> bytes:
    """The mesh in a format, by trimesh's writers: an independent opinion of what a format is."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import trimesh

        copy = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        if suffix == "3mf":
            copy.units = "millimeter"
        content = copy.export(file_type=suffix)
    return content.encode() if isinstance(content, str) else bytes(content)


@pytest.mark.parametrize("suffix", ["stl", "stl_ascii", "obj", "ply", "3mf", "glb"])
def test_every_format_comes_back(suffix: str) -> None:
    ball = sphere(25.0, 32)
    in_its_unit = ball.moved(np.eye(3) * 1e-3, np.zeros(3)) if suffix == "glb" else ball
    name = f"part.{suffix.removesuffix('_ascii').upper()}"
    part = read_part(written(in_its_unit, suffix), name, "m" if suffix == "glb" else "mm")
    assert part.file_triangles == len(ball.triangles)
    assert len(part.mesh.vertices) == len(ball.vertices)
    assert part.mesh.area == pytest.approx(1e-6 * ball.area, rel=1e-6)
    assert part.mesh.signed_volume == pytest.approx(1e-9 * ball.signed_volume, rel=1e-6)
    low, high = ball.box
    assert part.mesh.box[0] == pytest.approx(1e-3 * low, rel=1e-6, abs=1e-9)
    assert part.mesh.box[1] == pytest.approx(1e-3 * high, rel=1e-6, abs=1e-9)


def test_a_stated_unit_is_used_and_said() -> None:
    part = read_part(binary(SOLID), "finial.stl", "inch")
    assert part.unit == "in"
    assert part.unit_origin is UnitOrigin.STATED
    assert part.mesh.box[1] - part.mesh.box[0] == pytest.approx(np.array([40, 50, 60]) * 0.0254)
    assert part.file_format is Format.STL


def test_a_file_that_says_its_unit_is_believed() -> None:
    part = read_part(written(SOLID, "3mf"), "finial.3mf")
    assert (part.unit, part.unit_origin) == ("mm", UnitOrigin.FILE)


def test_a_stated_unit_that_contradicts_the_file_is_said() -> None:
    part = read_part(written(SOLID, "3mf"), "finial.3mf", "in")
    assert part.unit_origin is UnitOrigin.STATED
    assert any(
        "the file says millimetres (a part of 40 × 50 × 60 mm), but it is read in inches as "
        "stated (1.02 × 1.27 × 1.52 m)" in note
        for note in part.notes
    )


def test_a_stated_unit_that_agrees_with_the_file_is_not_remarked_on() -> None:
    assert read_part(written(SOLID, "3mf"), "finial.3mf", "mm").notes == ()


def test_a_guess_is_shown_with_what_the_other_units_give() -> None:
    part = read_part(binary(SOLID), "finial.stl")
    assert (part.unit, part.unit_origin) == ("mm", UnitOrigin.GUESSED)
    assert "gives no unit" in part.unit_explanation
    assert "40 × 50 × 60 mm" in part.unit_explanation
    sizes = {choice.unit: choice.box_sizes for choice in part.unit_alternatives}
    assert set(sizes) == {"um", "cm", "m", "in", "ft"}
    assert sizes["in"] == pytest.approx([1.016, 1.27, 1.524])


GUESSES = [
    ("20mm-xyz-cube.stl", "mm"),
    ("angle_block.STL", "in"),
    ("featuretype.STL", "in"),
    ("idler_riser.STL", "in"),
    ("octagonal_pocket.stl", "m"),
    ("plate_holes.STL", "mm"),
    ("quadknot.obj", "mm"),
]


@pytest.mark.parametrize(("name", "unit"), GUESSES)
def test_guesses_on_real_files(name: str, unit: str) -> None:
    """The units are those of the drawings as far as their round numbers show: an inch part of
    1.25 by 2.5, a metre part of 0.2286 (9 inches)."""
    assert read_part(real_mesh(name), name).unit == unit


def test_the_two_files_of_one_part_agree() -> None:
    """featuretype exists as a 3MF that says inch and as an STL that says nothing."""
    stated = read_part(real_mesh("featuretype.3MF"), "featuretype.3MF")
    guessed = read_part(real_mesh("featuretype.STL"), "featuretype.STL")
    assert (stated.unit_origin, guessed.unit_origin) == (UnitOrigin.FILE, UnitOrigin.GUESSED)
    assert guessed.unit == stated.unit == "in"
    assert guessed.mesh.area == pytest.approx(stated.mesh.area, rel=5e-4)


@pytest.mark.parametrize(
    ("spelling", "unit"),
    [("mm", "mm"), (" Millimeters ", "mm"), ('"', "in"), ("inch", "in"), ("µm", "um"),
     ("foot", "ft"), ("M", "m"), ("cm", "cm")],
)  # fmt: skip
def test_units_in_many_spellings(spelling: str, unit: str) -> None:
    assert unit_named(spelling) == unit


def test_an_unknown_unit_offers_close_ones() -> None:
    with pytest.raises(UnknownName) as caught:
        read_part(binary(SOLID), "finial.stl", "milimeter")
    assert "millimeter" in caught.value.candidates


def test_unusual_sizes_are_remarked_on() -> None:
    assert "unusually large" in read_part(binary(box((2000, 5, 5))), "a.stl", "mm").notes[-1]
    assert "unusually small" in read_part(binary(box((1, 1, 1))), "a.stl", "mm").notes[-1]


def test_corners_that_no_triangle_uses_do_not_stretch_the_box() -> None:
    data = written(SOLID, "obj") + b"\nv 1e6 0 0\n"
    assert read_part(data, "a.obj", "mm").mesh.box[1][0] == pytest.approx(0.025)


def bomb() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("notes.txt", b"0" * 1000)
    return stream.getvalue()


STL = binary(SOLID)
FLAT_POINT = binary(TriangleMesh(vertices=np.ones((3, 3)), triangles=[[0, 1, 2]]))
HUGE = binary(TriangleMesh(vertices=SOLID.vertices * 1e30, triangles=SOLID.triangles))

MALFORMED: list[tuple[str, bytes, str | None, type[TanksideError], str]] = [
    ("a.stl", b"", None, BadInput, "the file is empty"),
    ("a.obj", b"", None, BadInput, "the file is empty"),
    ("a", STL, None, BadInput, "no suffix that names its format"),
    ("a.slt", STL, None, UnknownName, "did you mean 'stl'"),
    ("a.STEP", STL, None, BadInput, "exact surfaces"),
    ("a.gltf", STL, None, BadInput, "export the part as .glb"),
    ("a.gcode", STL, None, BadInput, "a path for a printer"),
    ("a.zip", STL, None, BadInput, "unpack it first"),
    ("a.docx", STL, None, UnknownName, "file format 'docx' is not known"),
    ("a.stl", b"Dear Sir,\nthe lantern is late.\n" * 9, None, BadInput, "holds other text"),
    ("a.stl", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n" * 9, None, BadInput, "holds other text"),
    ("a.stl", written(SOLID, "glb"), None, BadInput, "holds a GLB; rename it to .glb"),
    ("a.stl", written(SOLID, "3mf"), None, BadInput, "a zip archive, as a 3MF is; rename it"),
    ("a.stl", written(SOLID, "ply"), None, BadInput, "holds a PLY; rename it to .ply"),
    ("a.stl", b"\x89PNG\r\n" + bytes(99), None, BadInput, "holds a PNG picture"),
    ("a.stl", b"%PDF-1.7" + bytes(99), None, BadInput, "holds a PDF"),
    ("a.stl", b"<html><body>404</body></html>" * 9, None, BadInput, "holds a web page"),
    ("a.obj", STL, None, BadInput, "holds other text, not triangles"),
    ("a.ply", STL, None, BadInput, "does not begin with 'ply'"),
    ("a.glb", STL, None, BadInput, "does not begin with 'glTF'"),
    ("a.3mf", STL, None, BadInput, "is no zip archive"),
    ("a.3mf", bomb(), None, BadInput, "holds no 3D model"),
    ("a.stl", STL[:-1], None, BadInput, "cut short"),
    ("a.stl", STL[:80], None, BadInput, "less than its head needs"),
    ("a.stl", bytes(84), None, MeshDefect, "without triangles"),
    ("a.stl", bytes(80) + struct.pack("<I", 10**9) + bytes(500), None, BadInput, "not a whole"),
    ("a.stl", text(SOLID)[:500], None, BadInput, "damaged or cut short"),
    ("a.stl", STL[:96] + struct.pack("<f", np.nan) + STL[100:], "mm", MeshDefect, "triangle 1"),
    ("a.stl", FLAT_POINT, "mm", MeshDefect, "all corners of the file stand at one place"),
    ("a.stl", HUGE, None, BadInput, "a part in no known unit"),
    ("a.stl", HUGE, "mm", BadInput, "no known unit makes it a part"),
    ("a.stl", STL, "m", BadInput, "60 m long, and a part is between 100 µm and 10 m; it would be"),
    ("a.stl", STL, "ft", BadInput, "40 × 50 × 60 mm if in millimetres"),
    ("a.stl", STL, "um", BadInput, "60 µm long"),
    ("a.stl", STL, "parsec", UnknownName, "unit 'parsec' is not known"),
    ("a.stl", STL, "", UnknownName, "unit '' is not known"),
    ("a.glb", written(SOLID, "glb"), None, BadInput, "60 m long"),
    ("a.obj", b"# nothing here\n", None, BadInput, "not an OBJ"),
    ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", None, MeshDefect, "a point cloud has no surface"),
    ("a.obj", b"v 0 0 0\nf 1 2 3\n", None, MeshDefect, "names corner 3"),
    ("a.obj", b"v 0 0 0\nv 1 0 0\nf 1 2\n", None, MeshDefect, "no faces"),
    ("a.ply", b"ply\nformat ascii 1.0\nend_header\n", None, BadInput, "no element 'vertex'"),
    ("a.ply", b"ply\r\nformat", None, BadInput, "'end_header' is missing"),
    ("a.glb", b"glTF" + bytes(30), None, BadInput, "version 0"),
    ("a.3mf", b"PK\x03\x04" + bytes(50), None, BadInput, "no whole zip archive"),
]


@pytest.mark.parametrize(("name", "data", "unit", "kind", "words"), MALFORMED)
def test_what_is_no_part_is_refused_in_one_sentence(
    name: str, data: bytes, unit: str | None, kind: type[TanksideError], words: str
) -> None:
    with pytest.raises(kind) as caught:
        read_part(data, name, unit)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
    if kind is not UnknownName:
        assert str(caught.value).startswith(f"{name}: ")
