"""One model file of a 3MF: the XML, as objects, components and build items.

Parsed in one pass with handlers, as a million triangles make two million elements. Document types
are forbidden by the standard and refused here, so no entity can be blown up.
"""

from array import array
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said

UNITS = {
    "micron": "um",
    "millimeter": "mm",
    "centimeter": "cm",
    "inch": "in",
    "foot": "ft",
    "meter": "m",
}
"""The unit names of the 3MF core specification; millimetre where the attribute is missing."""

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/"
_PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/"
_HARMLESS = (
    _CORE,
    _PRODUCTION,
    "http://schemas.microsoft.com/3dmanufacturing/material/",
    "http://schemas.microsoft.com/3dmanufacturing/trianglesets/",
)
_Attributes = dict[str, str]


@dataclass(frozen=True, kw_only=True)
class Reference:
    """An object used somewhere: its number, the file that holds it, and its place (4, 4)."""

    object_id: str
    path: str
    matrix: Floats
    printable: bool


@dataclass(frozen=True, kw_only=True)
class ModelObject:
    """An object: its own triangles, and the other objects that it is made of."""

    object_id: str
    name: str
    kind: str
    vertices: Floats
    triangles: Ints
    components: tuple[Reference, ...]


@dataclass(frozen=True, kw_only=True)
class ModelFile:
    """A parsed model file."""

    unit: str
    objects: dict[str, ModelObject]
    items: tuple[Reference, ...]
    notes: tuple[str, ...]


def parsed_model(text: bytes, file_name: str) -> ModelFile:
    """The model in this XML; BadInput or MeshDefect where it is damaged."""
    gatherer = _Gatherer()
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = gatherer.opened
    parser.EndElementHandler = gatherer.closed
    parser.StartNamespaceDeclHandler = gatherer.named
    parser.StartDoctypeDeclHandler = _refuse_doctype
    try:
        parser.Parse(text, True)
    except expat.ExpatError as error:
        raise BadInput(
            "the model {file_name!r} of the 3MF is no whole XML: {error}",
            file_name=file_name,
            error=error,
        ) from error
    except (ValueError, OverflowError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput(
            "line {number} of the 3MF's {file_name!r} holds text where a number belongs",
            number=parser.CurrentLineNumber,
            file_name=file_name,
        ) from error
    except KeyError as error:
        raise BadInput(
            "line {number} of the 3MF's {file_name!r} lacks {lacking!r}",
            number=parser.CurrentLineNumber,
            file_name=file_name,
            lacking=error.args[0],
        ) from error
    if not gatherer.is_model:
        raise BadInput("the file {file_name!r} of the 3MF holds no model", file_name=file_name)
    return ModelFile(
        unit=gatherer.unit,
        objects=gatherer.objects,
        items=tuple(gatherer.items),
        notes=tuple(gatherer.notes),
    )


@dataclass
class _Gatherer:
    """What the handlers collect; the object that is open is kept in the plain fields."""

    is_model: bool = False
    unit: str = "mm"
    objects: dict[str, ModelObject] = field(default_factory=dict)
    items: list[Reference] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    prefixes: dict[str, str] = field(default_factory=dict)
    current: _Attributes | None = None
    coordinates: "array[float]" = field(default_factory=lambda: array("d"))
    corners: "array[int]" = field(default_factory=lambda: array("q"))
    components: list[Reference] = field(default_factory=list)

    def named(self, prefix: str | None, address: str) -> None:
        """A namespace prefix is declared."""
        self.prefixes[prefix or ""] = address

    def opened(self, tag: str, attributes: _Attributes) -> None:
        """An element begins."""
        space, _, name = tag.rpartition(" ")
        if name == "vertex":
            self.coordinates.append(float(attributes["x"]))
            self.coordinates.append(float(attributes["y"]))
            self.coordinates.append(float(attributes["z"]))
        elif name == "triangle" and (not space or space.startswith(_CORE)):
            self.corners.append(int(attributes["v1"]))
            self.corners.append(int(attributes["v2"]))
            self.corners.append(int(attributes["v3"]))
        elif handler := _HANDLERS.get(name):
            handler(self, attributes)
        elif space and not space.startswith(_HARMLESS):
            self._note_foreign(space, name)

    def closed(self, tag: str) -> None:
        """An element ends."""
        if not tag.endswith("object") or tag.rpartition(" ")[2] != "object":
            return
        if self.current is None:
            return
        vertices = np.array(self.coordinates, dtype=np.float64).reshape(-1, 3)
        finite = np.isfinite(vertices).all(axis=1)
        object_id = self.current["id"]
        if not finite.all():
            raise MeshDefect(
                "corner {number} of object {object_id} is not finite",
                number=int(np.argmin(finite)) + 1,
                object_id=object_id,
            )
        self.objects[object_id] = ModelObject(
            object_id=object_id,
            name=self.current.get("name", ""),
            kind=self.current.get("type", "model"),
            vertices=vertices,
            triangles=np.array(self.corners, dtype=np.int64).reshape(-1, 3),
            components=tuple(self.components),
        )
        self.current = None

    def _note_foreign(self, space: str, name: str) -> None:
        note = said(
            "the 3MF holds {name} of the extension {space}, which is not read",
            name=repr(name),
            space=repr(space),
        )
        if note not in self.notes and len(self.notes) < 20:
            self.notes.append(note)


def _open_model(gatherer: _Gatherer, attributes: _Attributes) -> None:
    gatherer.is_model = True
    unit = attributes.get("unit", "millimeter")
    if unit not in UNITS:
        raise BadInput(
            "the 3MF states an unknown unit {unit!r}; known are {units}",
            unit=unit,
            units=", ".join(UNITS),
        )
    gatherer.unit = UNITS[unit]
    for prefix in attributes.get("requiredextensions", "").split():
        address = gatherer.prefixes.get(prefix, prefix)
        if not address.startswith(_HARMLESS):
            raise BadInput(
                "the 3MF needs the extension {address!r}, which is not read; export the part as "
                "plain triangles",
                address=address,
            )


def _open_object(gatherer: _Gatherer, attributes: _Attributes) -> None:
    gatherer.current = {"id": attributes["id"], **attributes}
    gatherer.coordinates = array("d")
    gatherer.corners = array("q")
    gatherer.components = []


def _add_component(gatherer: _Gatherer, attributes: _Attributes) -> None:
    gatherer.components.append(_reference(attributes))


def _add_item(gatherer: _Gatherer, attributes: _Attributes) -> None:
    gatherer.items.append(_reference(attributes))


_HANDLERS: dict[str, Callable[[_Gatherer, _Attributes], None]] = {
    "model": _open_model,
    "object": _open_object,
    "component": _add_component,
    "item": _add_item,
}


def _reference(attributes: _Attributes) -> Reference:
    paths = [value for key, value in attributes.items() if key.rpartition(" ")[2] == "path"]
    return Reference(
        object_id=attributes["objectid"],
        path=paths[0] if paths else "",
        matrix=_matrix(attributes.get("transform", "")),
        printable=attributes.get("printable", "1") not in ("0", "false"),
    )


def _matrix(text: str) -> Floats:
    """The twelve numbers of a 3MF transform (it acts on rows) as a matrix that acts on columns."""
    matrix = np.eye(4)
    if text.strip():
        numbers = [float(word) for word in text.split()]
        if len(numbers) != 12:
            raise BadInput(
                "a transform of the 3MF holds {numbers} numbers and not 12", numbers=len(numbers)
            )
        matrix[:3, :] = np.array(numbers).reshape(4, 3).T
    return matrix


def _refuse_doctype(*_: object) -> None:
    raise BadInput("the 3MF holds a document type, which the standard forbids; it was not read")
