"""3MF: units, placements, components, other models in the zip, and what is refused."""

import io
import zipfile

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.threemf import read_3mf
from tankside.part.mesh import TriangleMesh
from tests.unit.part.solids import box

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"


def mesh_xml(mesh: TriangleMesh) -> str:
    corners = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in mesh.vertices)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.triangles)
    return f"<mesh><vertices>{corners}</vertices><triangles>{faces}</triangles></mesh>"


CUBE = mesh_xml(box((1.0, 1.0, 1.0)))


def model(objects: str, items: str, attributes: str = "", top: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{top}<model xmlns="{CORE}" '
        f'xmlns:p="{PRODUCTION}" {attributes}><resources>{objects}</resources>'
        f"<build>{items}</build></model>"
    )


def zipped(files: dict[str, str]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return stream.getvalue()


def packed(objects: str, items: str, attributes: str = "", top: str = "") -> bytes:
    return zipped({"3D/3dmodel.model": model(objects, items, attributes, top)})


ONE = f'<object id="1" name="cap" type="model">{CUBE}</object>'


def volume(data: bytes) -> float:
    read = read_3mf(data)
    return TriangleMesh(vertices=read.vertices, triangles=read.triangles).signed_volume


@pytest.mark.parametrize(
    ("attributes", "unit"),
    [
        ("", "mm"),
        ('unit="micron"', "um"),
        ('unit="millimeter"', "mm"),
        ('unit="centimeter"', "cm"),
        ('unit="inch"', "in"),
        ('unit="foot"', "ft"),
        ('unit="meter"', "m"),
    ],
)
def test_the_unit_is_the_files(attributes: str, unit: str) -> None:
    assert read_3mf(packed(ONE, '<item objectid="1"/>', attributes)).unit == unit


def test_items_stand_where_their_matrix_says() -> None:
    """A quarter turn about z, then a shift: the row-vector matrix of the specification."""
    item = '<item objectid="1" transform="0 2 0 -3 0 0 0 0 4 10 20 30"/>'
    read = read_3mf(packed(ONE, item))
    low, high = read.vertices.min(axis=0), read.vertices.max(axis=0)
    assert low.tolist() == [8.5, 19.0, 28.0]
    assert high.tolist() == [11.5, 21.0, 32.0]
    assert volume(packed(ONE, item)) == pytest.approx(24.0)


def test_a_mirror_keeps_the_outside_outside() -> None:
    mirrored = '<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>'
    assert volume(packed(ONE, mirrored)) == pytest.approx(1.0)


def test_components_are_placed_within_their_object_and_repeated() -> None:
    pair = (
        '<object id="2" name="pair"><components>'
        '<component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/>'
        '<component objectid="1" transform="1 0 0 0 1 0 0 0 1 -5 0 0"/>'
        "</components></object>"
    )
    read = read_3mf(packed(ONE + pair, '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 1"/>'))
    assert read.object_names == ("cap", "cap")
    assert read.vertices[:, 0].max() == 11.0
    assert read.vertices[:, 2].min() == 0.0
    assert len(read.triangles) == 24


def test_objects_may_lie_in_another_model_of_the_zip() -> None:
    outer = '<object id="9"><components><component objectid="1" p:path="/3D/Parts/a.model"/>'
    data = zipped(
        {
            "3D/3dmodel.model": model(outer + "</components></object>", '<item objectid="9"/>'),
            "3D/Parts/a.model": model(ONE, ""),
        }
    )
    assert volume(data) == pytest.approx(1.0)


def test_what_is_not_printed_is_left_out_and_named() -> None:
    support = f'<object id="2" type="support">{CUBE}</object>'
    items = '<item objectid="1"/><item objectid="2"/><item objectid="1" printable="0"/>'
    read = read_3mf(packed(ONE + support, items))
    assert len(read.triangles) == 12
    assert "object 2 is marked as 'support'; left out" in read.notes
    assert "object 1 is marked as not to be printed; left out" in read.notes


def circle() -> bytes:
    loop = '<object id="1"><components><component objectid="1"/></components></object>'
    return packed(loop, '<item objectid="1"/>')


def many() -> bytes:
    """Each object is ten times the one before: ten thousand million cubes in a few lines."""
    objects = ONE
    for number in range(2, 12):
        inner = f'<component objectid="{number - 1}"/>' * 10
        objects += f'<object id="{number}"><components>{inner}</components></object>'
    return packed(objects, '<item objectid="11"/>')


def encrypted() -> bytes:
    """The flag of an encrypted member, set in the archive's directory and in its own head."""
    data = bytearray(packed(ONE, '<item objectid="1"/>'))
    data[data.index(b"PK\x01\x02") + 8] |= 1
    data[data.index(b"PK\x03\x04") + 6] |= 1
    return bytes(data)


BEAMS = 'xmlns:b="http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02"'
ENTITY = '<!DOCTYPE model [<!ENTITY a "aaaaaaaaaa">]>'


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (b"PK\x03\x04 but no more", BadInput, "no whole zip archive"),
        (zipped({"readme.txt": "hello"}), BadInput, "holds no 3D model"),
        (zipped({"a.model": "", "b.model": ""}), BadInput, "several models"),
        (packed(ONE, "")[:-30], BadInput, "no whole zip archive"),
        (packed(ONE, ""), MeshDefect, "holds no build items"),
        (packed(ONE, '<item objectid="7"/>'), BadInput, "builds object '7', which it does not"),
        (packed(ONE, '<item objectid="1" printable="0"/>'), MeshDefect, "no printable triangles"),
        (packed(ONE, '<item objectid="1" transform="1 0 0"/>'), BadInput, "3 numbers and not 12"),
        (packed(ONE, '<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>'), MeshDefect,
         "flattens it"),
        (packed(ONE, '<item objectid="1"/>', 'unit="parsec"'), BadInput, "unknown unit 'parsec'"),
        (packed(ONE.replace('x="', 'x="a'), '<item objectid="1"/>'), BadInput, "text where a num"),
        (packed(ONE.replace('x="', 'w="'), '<item objectid="1"/>'), BadInput, "lacks 'x'"),
        (packed(ONE.replace('x="0.5"', 'x="inf"', 1), '<item objectid="1"/>'), MeshDefect,
         "of object 1 is not finite"),
        (packed(ONE.replace('v1="0"', 'v1="99"', 1), '<item objectid="1"/>'), MeshDefect,
         "names corner 100, but the file holds 8"),
        (packed(ONE[:-9], '<item objectid="1"/>'), BadInput, "no whole XML"),
        (packed(ONE, '<item objectid="1"/>', f'{BEAMS} requiredextensions="b"'), BadInput,
         "needs the extension"),
        (packed(ONE, '<item objectid="1"/>', top=ENTITY), BadInput, "document type"),
        (zipped({"3D/3dmodel.model": "<html/>"}), BadInput, "holds no model"),
        (packed(ONE, '<item objectid="1" p:path="/3D/none.model"/>'), BadInput,
         "names a model '3d/none.model' that it does not hold"),
        (circle(), BadInput, "deeper than 16, or in a circle"),
        (many(), BadInput, "places more than 10,000 objects"),
        (encrypted(), BadInput, "encrypted or packed in an unknown way"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused(data: bytes, kind: type[BadInput], words: str) -> None:
    with pytest.raises(kind, match=words):
        read_3mf(data)


def test_a_zip_bomb_is_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tankside.part.formats.threemf.MOST_UNPACKED_BYTES", 100_000)
    data = packed(ONE + " " * 1_000_000, '<item objectid="1"/>')
    assert len(data) < 10_000
    with pytest.raises(BadInput, match="unpacks to more than"):
        read_3mf(data)


def test_a_damaged_member_is_refused() -> None:
    data = bytearray(packed(ONE, '<item objectid="1"/>'))
    middle = len(data) // 2
    data[middle : middle + 20] = bytes(20)
    with pytest.raises(BadInput, match=r"cannot be unpacked|no whole"):
        read_3mf(bytes(data))


def test_corners_are_not_joined() -> None:
    """A 3MF can share corners; one that does not is read as it is."""
    apart = TriangleMesh(
        vertices=box().corners.reshape(-1, 3), triangles=np.arange(36).reshape(-1, 3)
    )
    item = '<item objectid="1"/>'
    assert len(read_3mf(packed(f'<object id="1">{mesh_xml(apart)}</object>', item)).vertices) == 36
