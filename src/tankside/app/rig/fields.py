"""The fields of a rig: what each table of a job file shows of itself, in a person's words.

A field's key is its path in the file, such as "anode.0.size.1". Three things are told otherwise
than in the file: a direction as two angles, a part by where the middle of its box hangs instead of
its file's origin, and its surface as one choice.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.work.plan_fields import COATED, COMPUTED, FIELDS
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
    help       one sentence: why, or how it is meant
    source     where that stands; "" where it tells nothing of the world
    """

    path: str
    words: str
    kind: Kind | None = Kind.LENGTH
    choices: tuple[tuple[str, str], ...] = ()
    signed: bool = False
    optional: bool = False
    help: str = ""
    source: str = ""


_LENGTH, _ANGLE = Kind.LENGTH, Kind.ANGLE
_ALONG = "0 is the tank's middle; to the left it is below zero."
_ACROSS = "0 is the tank's middle; towards the front it is below zero."


def _as_asked(path: str, key: str, **more: Any) -> Spec:
    """A field that the plan's form asks too, with its words, kind, help and source."""
    asked = FIELDS[key]
    told = {"words": asked.words, "kind": asked.kind, "help": asked.help, "source": asked.source}
    return Spec(path=path, **{**told, **more})


def _at(what: str) -> tuple[Spec, ...]:
    return (
        Spec(path=f"{what}.0", words="Middle, along the tank", signed=True, help=_ALONG),
        Spec(path=f"{what}.1", words="Middle, across the tank", signed=True, help=_ACROSS),
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
        Spec(
            path=f"{what}.tilt",
            words="Tilted up",
            kind=_ANGLE,
            signed=True,
            help="From level; 90 deg points straight up.",
        ),
    )


PLATE = (
    Spec(path="size.0", words="Width"),
    Spec(path="size.1", words="Height"),
    Spec(
        path="thickness",
        words="Thickness",
        optional=True,
        help="Left empty, 3 mm.",
    ),
    *_at("at"),
    *_turned("facing", "Turned to face"),
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
    *_turned("facing", "Turned to face"),
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
    help=FIELDS["surface"].help,
    source=FIELDS["surface"].source,
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
    help="Bare wire in the bath is plated and takes its share of the current.",
    source=COMPUTED,
)
CONTACT = (
    Spec(path="near.0", words="Touches, along the tank", signed=True, help=_ALONG),
    Spec(path="near.1", words="Touches, across the tank", signed=True, help=_ACROSS),
    Spec(
        path="near.2",
        words="Touches, above the floor",
        signed=True,
        help="The nearest place of the part's surface is taken; a coat is covered from there.",
        source=COATED,
    ),
    Spec(path="wire", words="Wire's diameter"),
    _BARE,
)

BATH = (
    _as_asked("copper_sulfate_pentahydrate", "copper_sulfate"),
    _as_asked("sulfuric_acid", "sulfuric_acid"),
    _as_asked("chloride", "chloride"),
    _as_asked("temperature", "temperature"),
)
"""Of these, the ones that the file has: a bath of another family keeps its own keys."""

SUPPLY = (
    _as_asked("current_limit", "current_limit"),
    _as_asked("voltage_limit", "voltage_limit"),
)

GOAL = (
    _as_asked("thickness", "thickness"),
    _as_asked(
        "measured_at",
        "measured_at",
        words="Measured at",
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
