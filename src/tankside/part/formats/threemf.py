"""3MF: a zip of XML with objects, their components, and where each stands; the unit is in the file.

Read are the core specification and the production extension (models in several files of the zip).
Objects are placed by the build items; supports and items marked as not to be printed are left out
and named. Encrypted files and extensions that change the shape (beam lattices and the like) are
refused, and so are zips that unpack to more than a part can be.
"""

import io
import zipfile
import zlib
from dataclasses import dataclass, field

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said
from tankside.base.wording import strung
from tankside.part.formats.file_mesh import (
    FileMesh,
    Placed,
    checked_corners,
    checked_count,
    joined,
    moved,
)
from tankside.part.formats.threemf_model import ModelFile, ModelObject, Reference, parsed_model

MOST_UNPACKED_BYTES = 2 * 1024**3
"""A model that unpacks to more is refused: ten million triangles need about half of it."""

_START_PART = "/3dmodel"
_DEFAULT_START = "3D/3dmodel.model"
_DEEPEST = 16
_MOST_PLACEMENTS = 10_000


@dataclass
class _Package:
    """The zip, with each model file parsed once."""

    archive: zipfile.ZipFile
    parsed: dict[str, ModelFile] = field(default_factory=dict)
    unpacked: int = 0
    placements: int = 0
    triangles: int = 0

    def model(self, name: str) -> ModelFile:
        """The model file of this name in the zip."""
        key = name.lstrip("/").lower()
        if key not in self.parsed:
            self.parsed[key] = parsed_model(self._bytes(key), name.lstrip("/"))
        return self.parsed[key]

    def _bytes(self, key: str) -> bytes:
        members = {item.filename.lstrip("/").lower(): item for item in self.archive.infolist()}
        if key not in members:
            raise BadInput("the 3MF names a model {key!r} that it does not hold", key=key)
        room = MOST_UNPACKED_BYTES - self.unpacked
        try:
            with self.archive.open(members[key]) as stream:
                content = stream.read(room + 1)
        except (zipfile.BadZipFile, zlib.error, EOFError) as error:
            raise BadInput("the 3MF is damaged: {key!r} cannot be unpacked", key=key) from error
        except (RuntimeError, NotImplementedError) as error:
            raise BadInput(
                "the 3MF is encrypted or packed in an unknown way: {key!r}", key=key
            ) from error
        if len(content) > room:
            raise BadInput(
                "the 3MF unpacks to more than {most} GiB, which no part needs; it was not read",
                most=MOST_UNPACKED_BYTES // 1024**3,
            )
        self.unpacked += len(content)
        return content


def read_3mf(data: bytes) -> FileMesh:
    """The printable objects of a 3MF file where they stand; BadInput or MeshDefect otherwise."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except zipfile.BadZipFile as error:
        raise BadInput(
            "the 3MF is no whole zip archive; it may be cut short, so copy or export it again"
        ) from error
    with archive:
        package = _Package(archive)
        start = _start_part(archive)
        model = package.model(start)
        notes = list(model.notes)
        placed: list[Placed] = []
        for item in model.items:
            if not item.printable:
                notes.append(
                    said(
                        "object {object_id} is marked as not to be printed; left out",
                        object_id=item.object_id,
                    )
                )
                continue
            _place(package, start, item, np.eye(4), placed, notes, depth=0)
    if not placed and model.items:
        raise MeshDefect(strung((said("the 3MF holds no printable triangles"), *notes)))
    if not placed:
        raise MeshDefect("the 3MF builds nothing: it holds no build items")
    return joined(placed, unit=model.unit, notes=notes)


def _start_part(archive: zipfile.ZipFile) -> str:
    names = {item.filename.lstrip("/").lower(): item.filename for item in archive.infolist()}
    models = [name for name in names if name.endswith(".model")]
    if not models:
        raise BadInput("the zip archive holds no 3D model, so it is not a 3MF")
    if _DEFAULT_START.lower() in names:
        return _DEFAULT_START
    roots = [name for name in models if name.startswith("3d/")] or models
    if len(roots) > 1:
        raise BadInput("the 3MF holds several models and does not say which one is the part")
    return roots[0]


def _place(
    package: _Package,
    file_name: str,
    reference: Reference,
    outer: Floats,
    placed: list[Placed],
    notes: list[str],
    depth: int,
) -> None:
    """Add the object that `reference` points at, and all its components, to `placed`."""
    if depth > _DEEPEST:
        raise BadInput(
            "the 3MF nests its components deeper than {deepest}, or in a circle", deepest=_DEEPEST
        )
    package.placements += 1
    if package.placements > _MOST_PLACEMENTS:
        raise BadInput(
            "the 3MF places more than {most_placements:,} objects; it was not read",
            most_placements=_MOST_PLACEMENTS,
        )
    file_name = reference.path or file_name
    item = _object(package.model(file_name), reference.object_id)
    matrix = outer @ reference.matrix
    if item.kind not in ("model", "solidsupport", "support", "surface", "other"):
        raise BadInput(
            "object {object_id} of the 3MF is of an unknown type {kind!r}",
            object_id=item.object_id,
            kind=item.kind,
        )
    if item.kind in ("support", "solidsupport", "other"):
        notes.append(
            said(
                "object {object_id} is marked as {kind}; left out",
                object_id=item.object_id,
                kind=repr(item.kind),
            )
        )
        return
    if len(item.triangles):
        checked_corners(item.triangles, len(item.vertices))
        vertices, triangles = moved(item.vertices, item.triangles, matrix)
        name = item.name or f"object {item.object_id}"
        placed.append(Placed(name=name, vertices=vertices, triangles=triangles))
        package.triangles += len(triangles)
        checked_count(package.triangles)
    for component in item.components:
        _place(package, file_name, component, matrix, placed, notes, depth + 1)


def _object(model: ModelFile, object_id: str) -> ModelObject:
    if object_id not in model.objects:
        raise BadInput(
            "the 3MF builds object {object_id!r}, which it does not hold", object_id=object_id
        )
    return model.objects[object_id]
