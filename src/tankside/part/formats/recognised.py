"""Which format a file is in, by its name and by what it holds.

The name must end in a known suffix, and the content must not be that of another known kind of file:
a picture or a zip renamed to .stl is refused with what it is, not read as if it were triangles.
"""

from enum import Enum
from pathlib import PurePath

from tankside.base.errors import BadInput, UnknownName


class Format(Enum):
    """A format that is read; the value is its suffix."""

    STL = "stl"
    OBJ = "obj"
    PLY = "ply"
    THREE_MF = "3mf"
    GLB = "glb"


_SIGNATURES = (
    (b"glTF", "a GLB", Format.GLB),
    (b"PK\x03\x04", "a zip archive, as a 3MF is", Format.THREE_MF),
    (b"ply\n", "a PLY", Format.PLY),
    (b"ply\r", "a PLY", Format.PLY),
    (b"\x89PNG", "a PNG picture", None),
    (b"\xff\xd8\xff", "a JPEG picture", None),
    (b"GIF8", "a GIF picture", None),
    (b"%PDF", "a PDF", None),
    (b"\x1f\x8b", "a gzip archive", None),
    (b"7z\xbc\xaf", "a 7z archive", None),
    (b"ISO-10303-21", "a STEP file", None),
    (b"<?xml", "XML", None),
    (b"<!DOCTYPE", "a web page", None),
    (b"<html", "a web page", None),
    (b"OFF\n", "an OFF mesh", None),
)
_OTHER_SUFFIXES = {
    "gltf": "a glTF in text form keeps its numbers in other files; export the part as .glb",
    "step": "a STEP file holds exact surfaces; export the part as STL or 3MF",
    "stp": "a STEP file holds exact surfaces; export the part as STL or 3MF",
    "gcode": "G-code is a path for a printer, not a shape; give the mesh it was made from",
    "zip": "a zip archive is not read; unpack it first",
}
_NEEDS_SIGNATURE = {
    Format.GLB: "does not begin with 'glTF'",
    Format.THREE_MF: "is no zip archive",
    Format.PLY: "does not begin with 'ply'",
}


def recognised(data: bytes, file_name: str) -> Format:
    """The format of a file; UnknownName for an unknown suffix, BadInput where the content is of
    another kind."""
    wanted = _format_of_name(file_name)
    if not data:
        raise BadInput("the file is empty")
    found = next((row for row in _SIGNATURES if data.startswith(row[0])), None)
    if found and found[2] is not wanted and not _announced_stl(data, wanted):
        way_out = f"; rename it to .{found[2].value}" if found[2] else ""
        raise BadInput(
            "the file is named .{wanted} but holds {found}{way_out}",
            wanted=wanted.value,
            found=found[1],
            way_out=way_out,
        )
    if wanted in _NEEDS_SIGNATURE and not found:
        raise BadInput(
            "the file is named .{wanted} but {lacks}",
            wanted=wanted.value,
            lacks=_NEEDS_SIGNATURE[wanted],
        )
    if wanted in (Format.STL, Format.OBJ) and _is_plain_text_of_neither(data, wanted):
        raise BadInput(
            "the file is named .{wanted} but holds other text, not triangles", wanted=wanted.value
        )
    return wanted


def _format_of_name(file_name: str) -> Format:
    suffix = PurePath(file_name).suffix.lstrip(".")
    known = {item.value: item for item in Format}
    if suffix.lower() in known:
        return known[suffix.lower()]
    if suffix.lower() in _OTHER_SUFFIXES:
        raise BadInput(_OTHER_SUFFIXES[suffix.lower()])
    if not suffix:
        raise BadInput(
            "the file has no suffix that names its format; known are {known}",
            known=", ".join(sorted(known)),
        )
    raise UnknownName("file format", suffix, known)


def _announced_stl(data: bytes, wanted: Format) -> bool:
    """True where an STL's free 80-byte head happens to look like another format's."""
    return (
        wanted is Format.STL
        and len(data) >= 84
        and len(data) == 84 + 50 * int.from_bytes(data[80:84], "little")
    )


def _is_plain_text_of_neither(data: bytes, wanted: Format) -> bool:
    if _announced_stl(data, wanted):
        return False
    head = data[:4096]
    if b"\0" in head:
        return wanted is Format.OBJ
    if wanted is Format.STL:
        printable = sum(byte in b"\t\n\r" or 32 <= byte < 127 or byte >= 0xC2 for byte in head)
        return printable == len(head) and not head.lstrip().lower().startswith(b"solid")
    return False
