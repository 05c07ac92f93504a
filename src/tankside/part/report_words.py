"""The part report as sentences for a person, the worst first.

Each sentence says what was found, how much of it, and what it means for plating or what to do. A
part without findings gets one that says so.
"""

from collections.abc import Iterable

from tankside.base.arrays import Floats
from tankside.base.messages import Quantity, said, said_of
from tankside.part.bodies import BodyKind, PartBody
from tankside.part.report import PartReport

_FEW = 5


def in_words(report: PartReport) -> tuple[str, ...]:
    """The report as sentences."""
    return (
        _first(report),
        *_openings(report),
        *_winding(report),
        *_crossings(report),
        *_shells(report),
        *_small_faults(report),
        *_walls(report),
        *report.notes,
    )


def _first(report: PartReport) -> str:
    sizes = tuple(float(size) for size in report.box_sizes)
    return said(
        "The part is {sizes}, {parts} in {bodies}, {state}; all its triangles together are {area}.",
        sizes=Quantity(sizes, "mm", 4, between=" × "),
        parts=_triangles(report.triangles),
        bodies=said_of("{count} body", "{count} bodies", count=len(report.bodies)),
        state=_state(report),
        area=Quantity(report.area, "cm^2", 4),
    )


def _state(report: PartReport) -> str:
    if report.sound:
        return said("closed and sound")
    return said("closed") if report.closed else said("not closed")


def _openings(report: PartReport) -> Iterable[str]:
    if report.open_edges:
        if report.apart_corners and report.open_edges_if_welded == 0:
            yield (
                said(
                    "{open_edges} stand open only because triangles do not share {apart_corners} "
                    "corners at the same place; joined, the surface is closed.",
                    open_edges=_edges(report.open_edges),
                    apart_corners=report.apart_corners,
                )
            )
            return
        yield _holes(report)
        if report.open_edges_if_welded < report.open_edges:
            yield (
                said(
                    "Joining {apart_corners} corners at the same place would leave "
                    "{open_edges_if_welded}.",
                    apart_corners=report.apart_corners,
                    open_edges_if_welded=_open_edges(report.open_edges_if_welded),
                )
            )
        yield said("The volume of an open surface is not defined; repair or remesh the part first.")
    if report.non_manifold_edges:
        yield (
            said(
                "Three triangles or more meet at {non_manifold_edges}: walls meet there, or "
                "bodies touch.",
                non_manifold_edges=_edges(report.non_manifold_edges),
            )
        )


def _holes(report: PartReport) -> str:
    largest = report.holes[0]
    words: list[str] = [
        said(
            "{length} around at {centre}",
            length=Quantity(hole.length, "mm", 4),
            centre=_place(hole.centre),
        )
        for hole in report.holes[:_FEW]
    ]
    count = len(report.holes)
    if count > _FEW:
        words.append(_more(count - _FEW))
    if largest.simple:
        holes = said_of("{count} hole", "{count} holes", count=count)
    else:
        holes = said_of("{count} hole or crack", "{count} holes or cracks", count=count)
    return said("The surface has {holes}: {words}.", holes=holes, words=tuple(words))


def _winding(report: PartReport) -> Iterable[str]:
    if report.unlike_edges:
        yield (
            said(
                "At {unlike_edges} the two triangles face opposite ways: some triangles are "
                "flipped.",
                unlike_edges=_edges(report.unlike_edges),
            )
        )
    inverted = report.of_kind(BodyKind.INSIDE_OUT)
    if inverted:
        yield said(
            "{inverted} inside out: the triangles face into the material.",
            inverted=_named(inverted),
        )


def _crossings(report: PartReport) -> Iterable[str]:
    crossing, lying = len(report.crossings.crossing), len(report.crossings.lying_on)
    if crossing:
        yield (
            said(
                "The surface runs through itself: {crossing} of triangles cross, so its area "
                "and volume count some places twice.",
                crossing=_pairs(crossing),
            )
        )
    if report.overlapping_bodies:
        pairs: list[str] = [
            said("{one} and {two}", one=one, two=two)
            for one, two in report.overlapping_bodies[:_FEW]
        ]
        more = len(report.overlapping_bodies) - _FEW
        if more > 0:
            pairs.append(_more(more))
        yield said("Bodies overlap: {pairs}.", pairs=tuple(pairs))
    if lying:
        yield said("{lying} of triangles lie on one another: a double wall.", lying=_pairs(lying))


def _shells(report: PartReport) -> Iterable[str]:
    cavities = report.of_kind(BodyKind.CAVITY)
    if cavities:
        volume = sum(abs(body.signed_volume or 0.0) for body in cavities)
        yield (
            said(
                "{cavities} the wall of a sealed cavity ({volume} in all): no solution gets "
                "in, its wall takes no copper, and the part floats more.",
                cavities=_named(cavities),
                volume=Quantity(volume, "mL"),
            )
        )
    nested = report.of_kind(BodyKind.SOLID_IN_SOLID)
    if nested:
        yield (
            said(
                "{nested} wholly inside another body and face the same way: a solid inside a "
                "solid, or a cavity whose wall is turned round.",
                nested=_named(nested),
            )
        )
    loose = report.of_kind(BodyKind.LOOSE_IN_CAVITY)
    if loose:
        yield said(
            "{loose} shut up loose in a sealed cavity; no solution reaches it.", loose=_named(loose)
        )


def _small_faults(report: PartReport) -> Iterable[str]:
    if report.degenerate:
        yield said(
            "{degenerate} have no area to speak of.",
            degenerate=_triangles(report.degenerate),
        )
    if report.duplicate:
        yield said("{duplicate} are there twice.", duplicate=_triangles(report.duplicate))


def _walls(report: PartReport) -> Iterable[str]:
    walls = report.walls
    if walls is None:
        return
    yield (
        said(
            "The thinnest wall met is {thinnest} at {where}; {thin_area_fraction} % of the "
            "area has a wall under {thin_limit}, and half of it is over {median}.",
            thinnest=Quantity(walls.thinnest, "mm"),
            where=_place(walls.where),
            thin_area_fraction=Quantity(100 * walls.thin_area_fraction, digits=2),
            thin_limit=Quantity(walls.thin_limit, "mm"),
            median=Quantity(walls.median, "mm"),
        )
    )


def _edges(count: int) -> str:
    return said_of("{count} edge", "{count} edges", count=count)


def _open_edges(count: int) -> str:
    return said_of("{count} open edge", "{count} open edges", count=count)


def _pairs(count: int) -> str:
    return said_of("{count} pair", "{count} pairs", count=count)


def _triangles(count: int) -> str:
    return said_of("{count} triangle", "{count} triangles", count=count)


def _more(count: int) -> str:
    return said("{count} more", count=count)


def _named(bodies: tuple[PartBody, ...]) -> str:
    numbers = [str(body.number) for body in bodies]
    if len(numbers) == 1:
        return said("Body {number} is", number=numbers[0])
    more = (_more(len(numbers) - _FEW),) if len(numbers) > _FEW else ()
    return said("Bodies {numbers} are", numbers=(*numbers[:_FEW], *more))


def _place(point: Floats) -> Quantity:
    return Quantity(tuple(round(float(value), 5) + 0.0 for value in point), "mm", 4)
