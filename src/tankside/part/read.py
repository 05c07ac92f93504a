"""A part's file as a value: bytes in, a mesh in metres out, with where its unit came from.

Nothing is repaired: what the file holds is what is returned, and the notes say what the format made
necessary. A stated unit wins over the file's and over the guess, and where it contradicts the file,
the notes say so. What cannot be a part is refused in one sentence that names the file.
"""

from codecs import BOM_UTF8
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats, frozen_ints
from tankside.base.errors import BadInput, MeshDefect, UnknownName
from tankside.base.messages import said
from tankside.part.formats.file_mesh import FileMesh
from tankside.part.formats.glb import read_glb
from tankside.part.formats.obj import read_obj
from tankside.part.formats.ply import read_ply
from tankside.part.formats.recognised import Format, recognised
from tankside.part.formats.stl import read_stl
from tankside.part.formats.threemf import read_3mf
from tankside.part.length_units import (
    METRES,
    WORDS,
    check_size,
    guessed,
    size_words,
    sizes_in,
    unit_named,
)
from tankside.part.mesh import TriangleMesh


class UnitOrigin(Enum):
    """Who said what unit the file's numbers are in."""

    STATED = "stated by the person"
    FILE = "given by the file"
    GUESSED = "guessed"


@dataclass(frozen=True, kw_only=True)
class UnitChoice:
    """A unit that the numbers could be in, and the box that they would then have (3,) [m]."""

    unit: str
    box_sizes: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "box_sizes", frozen_floats(self.box_sizes))


@dataclass(frozen=True, kw_only=True)
class LoadedPart:
    """What a part's file holds.

    mesh               corners [m] and triangles, as in the file
    file_name          as given
    file_format        by content and suffix
    file_triangles     number of triangles in the file [-]
    unit               short name of the unit of the file's numbers
    unit_origin        stated, from the file, or guessed
    unit_explanation   one sentence on why this unit
    unit_alternatives  the other units and the sizes they would give
    object_names       names of the objects that the file gives
    object_of_triangle (nt,) index into object_names, or None where the file names none
    notes              what the reader had to do or to leave out, in sentences
    """

    mesh: TriangleMesh
    file_name: str
    file_format: Format
    file_triangles: int
    unit: str
    unit_origin: UnitOrigin
    unit_explanation: str
    unit_alternatives: tuple[UnitChoice, ...]
    object_names: tuple[str, ...] = ()
    object_of_triangle: Ints | None = None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.object_of_triangle is not None:
            object.__setattr__(self, "object_of_triangle", frozen_ints(self.object_of_triangle))


def read_part(data: bytes, file_name: str, unit: str | None = None) -> LoadedPart:
    """The part in a file's bytes; `unit` is the unit of its numbers, or None to take the file's
    own or a guess. BadInput, MeshDefect or UnknownName (with the file's name) where it is none."""
    try:
        stated = None if unit is None else unit_named(unit)
        data = data.removeprefix(BOM_UTF8)  # some programs begin every text with this mark
        file_format = recognised(data, file_name)
        return _in_metres(_READERS[file_format](data), file_name, file_format, stated)
    except UnknownName:
        raise
    except MeshDefect as error:
        raise MeshDefect(error.message, where=file_name) from error
    except BadInput as error:
        raise BadInput(error.message, where=file_name) from error


def _in_metres(
    held: FileMesh, file_name: str, file_format: Format, stated: str | None
) -> LoadedPart:
    bare = _bare_mesh(held)
    low, high = bare.box
    extents = high - low
    if not extents.any():
        raise MeshDefect("all corners of the file stand at one place")
    unit, origin, explanation, notes = _unit_of(held, bare, stated)
    check_size(extents, unit)
    return LoadedPart(
        mesh=TriangleMesh(vertices=bare.vertices * METRES[unit], triangles=bare.triangles),
        file_name=file_name,
        file_format=file_format,
        file_triangles=len(bare.triangles),
        unit=unit,
        unit_origin=origin,
        unit_explanation=explanation,
        unit_alternatives=tuple(
            UnitChoice(unit=other, box_sizes=sizes_in(extents, other))
            for other in METRES
            if other != unit
        ),
        object_names=held.object_names,
        object_of_triangle=held.object_of_triangle,
        notes=(*held.notes, *notes, *_size_notes(extents, unit)),
    )


def _bare_mesh(held: FileMesh) -> TriangleMesh:
    """The file's mesh in its own numbers, without the corners that no triangle uses."""
    if not len(held.triangles):
        raise MeshDefect("the file holds no triangles")
    used = np.unique(held.triangles)
    if len(used) == len(held.vertices):
        return TriangleMesh(vertices=held.vertices, triangles=held.triangles)
    return TriangleMesh(
        vertices=held.vertices[used], triangles=np.searchsorted(used, held.triangles)
    )


def _unit_of(
    held: FileMesh, bare: TriangleMesh, stated: str | None
) -> tuple[str, UnitOrigin, str, tuple[str, ...]]:
    """(unit, origin, explanation, notes)."""
    if stated is not None:
        sentence = said("the unit was stated as {words}", words=WORDS[stated])
        return stated, UnitOrigin.STATED, sentence, _contradiction(held, bare, stated)
    if held.unit is not None:
        sentence = said("the file says that its numbers are {words}", words=WORDS[held.unit])
        return held.unit, UnitOrigin.FILE, sentence, ()
    guess = guessed(bare)
    return guess.unit, UnitOrigin.GUESSED, guess.sentence, ()


def _contradiction(held: FileMesh, bare: TriangleMesh, stated: str) -> tuple[str, ...]:
    if held.unit is None or held.unit == stated:
        return ()
    low, high = bare.box
    return (
        said(
            "the file says {words} (a part of {size_words}), but it is read in {words_2} "
            "as stated ({size_words_2})",
            words=WORDS[held.unit],
            size_words=size_words(high - low, held.unit),
            words_2=WORDS[stated],
            size_words_2=size_words(high - low, stated),
        ),
    )


def _size_notes(extents: Floats, unit: str) -> tuple[str, ...]:
    longest = float(extents.max()) * METRES[unit]
    if longest > 1.5:
        kind = "large"
    elif longest < 2e-3:
        kind = "small"
    else:
        return ()
    return (
        said(
            "the part would be {size_words}, unusually {kind}: check that its numbers are {words}",
            size_words=size_words(extents, unit),
            kind=kind,
            words=WORDS[unit],
        ),
    )


_READERS: dict[Format, Callable[[bytes], FileMesh]] = {
    Format.STL: read_stl,
    Format.OBJ: read_obj,
    Format.PLY: read_ply,
    Format.THREE_MF: read_3mf,
    Format.GLB: read_glb,
}
