"""The fields of a rig: what each table of a job file shows of itself, in a person's words.

A field's key is its path in the file, such as "anode.0.size.1". Three things are told otherwise
than in the file: a direction as two angles, a part by where the middle of its box hangs instead of
its file's origin, and its surface as one choice.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tankside.base.units import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """One field of a table.

    path       within the table, such as "size.0"
    words      of its label
    kind       of the quantity; None for a choice or a name
    choices    pairs of value and words
    signed     may be below zero
    optional   may be left empty
    help       one sentence
    """

    path: str
    words: str
    kind: Kind | None = Kind.LENGTH
    choices: tuple[tuple[str, str], ...] = ()
    signed: bool = False
    optional: bool = False
    help: str = ""


_LENGTH, _ANGLE = Kind.LENGTH, Kind.ANGLE


def _at(what: str) -> tuple[Spec, ...]:
    return (
        Spec(path=f"{what}.0", words="Middle, along the tank", signed=True),
        Spec(path=f"{what}.1", words="Middle, across the tank", signed=True),
        Spec(path=f"{what}.2", words="Middle, above the floor", signed=True),
    )


def _turned(what: str, words: str) -> tuple[Spec, ...]:
    return (
        Spec(
            path=f"{what}.turn",
            words=words,
            kind=_ANGLE,
            signed=True,
            help="Seen from above, anticlockwise from the tank's length.",
        ),
        Spec(path=f"{what}.tilt", words="Tilted up", kind=_ANGLE, signed=True),
    )


PLATE = (
    Spec(path="size.0", words="Width"),
    Spec(path="size.1", words="Height"),
    Spec(path="thickness", words="Thickness", optional=True),
    *_at("at"),
    *_turned("facing", "Faces"),
)
ROD = (
    Spec(path="diameter", words="Diameter"),
    Spec(path="length", words="Length"),
    *_at("at"),
    *_turned("axis", "Lies along"),
)
BASKET = (
    Spec(path="size.0", words="Depth"),
    Spec(path="size.1", words="Width"),
    Spec(path="size.2", words="Height"),
    *_at("at"),
    *_turned("facing", "Faces"),
)
_ROTATE = tuple(
    Spec(path=f"rotate.{k}", words=f"Turned about {axis}", kind=_ANGLE, signed=True)
    for k, axis in enumerate(("the tank's length", "the tank's width", "the upright"))
)
MESH = (*_at("at"), *_ROTATE)
SHAPES: Mapping[str, tuple[Spec, ...]] = {
    "plate": PLATE,
    "rod": ROD,
    "basket": BASKET,
    "mesh": MESH,
}
"""By the key `shape` of an anode, shield or thief."""

TANKS: Mapping[str, tuple[Spec, ...]] = {
    "box": (
        Spec(path="inside.0", words="Inside length"),
        Spec(path="inside.1", words="Inside width"),
        Spec(path="inside.2", words="Inside height"),
        Spec(path="liquid_depth", words="Liquid depth"),
    ),
    "cylinder": (
        Spec(path="diameter", words="Inside diameter"),
        Spec(path="height", words="Inside height"),
        Spec(path="liquid_depth", words="Liquid depth"),
    ),
    "prism": (
        Spec(path="height", words="Inside height"),
        Spec(path="liquid_depth", words="Liquid depth"),
    ),
}
"""By the key `shape` of the tank; a prism has the corners of its floor besides."""

_SURFACE = Spec(
    path="surface",
    words="Surface",
    kind=None,
    choices=(("metal", "metal all over"), ("coat", "a conductive coat")),
)
_COAT = Spec(
    path="seed.sheet_resistance",
    words="Coat's sheet resistance",
    kind=Kind.SHEET_RESISTANCE,
    optional=True,
    help="Only where the surface is a coat; in ohm per square.",
)
PART = (*_at("middle"), *_ROTATE, _SURFACE, _COAT)
MEASURED_PART = (*_at("middle"), *_ROTATE)
"""Of a part whose coat is told by a meter's readings, which the job file keeps."""

_BARE = Spec(
    path="insulated",
    words="The wire is",
    kind=None,
    choices=(("no", "bare: it takes copper too"), ("yes", "insulated")),
)
CONTACT = (
    Spec(path="near.0", words="Touches, along the tank", signed=True),
    Spec(path="near.1", words="Touches, across the tank", signed=True),
    Spec(path="near.2", words="Touches, above the floor", signed=True),
    Spec(path="wire", words="Wire's diameter"),
    _BARE,
)

BATH = (
    Spec(
        path="copper_sulfate_pentahydrate",
        words="Copper sulfate pentahydrate",
        kind=Kind.MASS_CONCENTRATION,
    ),
    Spec(path="sulfuric_acid", words="Sulfuric acid", kind=Kind.MASS_CONCENTRATION),
    Spec(path="chloride", words="Chloride", kind=Kind.MASS_CONCENTRATION),
    Spec(path="temperature", words="Temperature", kind=Kind.TEMPERATURE),
)
"""Of these, the ones that the file has: a bath of another family keeps its own keys."""

SUPPLY = (
    Spec(path="current_limit", words="Most amps", kind=Kind.CURRENT),
    Spec(path="voltage_limit", words="Most volts", kind=Kind.VOLTAGE),
)

GOAL = (
    Spec(path="thickness", words="Copper thickness"),
    Spec(
        path="measured_at",
        words="Measured at",
        kind=None,
        choices=(("mean", "the mean"), ("thinnest 5 percent", "the thinnest places")),
    ),
    Spec(
        path="current",
        words="Current",
        kind=Kind.CURRENT,
        optional=True,
        help="Left empty, the highest that the part bears is found.",
    ),
)

CORNER = ("Next corner of the floor, along", "The same corner, across")
"""Words of a prism's corners, in order around its floor."""

THINGS = {"part": "Part", "tank": "Tank", "bath": "Bath", "supply": "Supply", "goal": "Goal"}
"""Words of all else."""

LISTS = {"anode": "Anode", "shield": "Shield", "thief": "Thief", "contact": "Contact"}
"""Tables of which there may be several, with their words."""


def corners(count: int) -> Iterator[Spec]:
    """Fields of a prism's floor."""
    for number in range(count):
        yield Spec(path=f"footprint.{number}.0", words=CORNER[0], signed=True)
        yield Spec(path=f"footprint.{number}.1", words=CORNER[1], signed=True)
