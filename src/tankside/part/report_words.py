"""The part report as sentences for a person, the worst first.

Each sentence says what was found, how much of it, and what it means for plating or what to do. A
part without findings gets one that says so.
"""

from collections.abc import Iterable

from tankside.base.arrays import Floats
from tankside.base.units import shown
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
    sizes = " x ".join(f"{1e3 * float(size):.4g}" for size in report.box_sizes)
    parts = _counted(report.triangles, "triangle")
    bodies = _counted(len(report.bodies), "body", "bodies")
    state = "closed and sound" if report.sound else "closed" if report.closed else "not closed"
    return (
        f"The part is {sizes} mm, {parts} in {bodies}, {state}; all its triangles together are "
        f"{shown(report.area, 'cm^2', 4)}."
    )


def _openings(report: PartReport) -> Iterable[str]:
    if report.open_edges:
        if report.apart_corners and report.open_edges_if_welded == 0:
            yield (
                f"{_counted(report.open_edges, 'edge')} stand open only because triangles do not "
                f"share {report.apart_corners:,} corners at the same place; joined, the surface "
                "is closed."
            )
            return
        yield _holes(report)
        if report.open_edges_if_welded < report.open_edges:
            yield (
                f"Joining {report.apart_corners:,} corners at the same place would leave "
                f"{_counted(report.open_edges_if_welded, 'open edge')}."
            )
        yield "The volume of an open surface is not defined; repair or remesh the part first."
    if report.non_manifold_edges:
        yield (
            f"{_counted(report.non_manifold_edges, 'edge')} have three triangles or more: walls "
            "meet there, or bodies touch."
        )


def _holes(report: PartReport) -> str:
    largest = report.holes[0]
    words = [
        f"{shown(hole.length, 'mm', 4)} around at {_place(hole.centre)}"
        for hole in report.holes[:_FEW]
    ]
    more = f" and {len(report.holes) - _FEW:,} more" if len(report.holes) > _FEW else ""
    kind = "hole" if largest.simple else "hole or crack"
    return f"The surface has {_counted(len(report.holes), kind)}: {', '.join(words)}{more}."


def _winding(report: PartReport) -> Iterable[str]:
    if report.unlike_edges:
        yield (
            f"At {_counted(report.unlike_edges, 'edge')} the two triangles face opposite ways: "
            "some triangles are flipped."
        )
    inverted = report.of_kind(BodyKind.INSIDE_OUT)
    if inverted:
        yield f"{_named(inverted)} inside out: the triangles face into the material."


def _crossings(report: PartReport) -> Iterable[str]:
    crossing, lying = len(report.crossings.crossing), len(report.crossings.lying_on)
    if crossing:
        yield (
            f"The surface runs through itself: {_counted(crossing, 'pair')} of triangles cross, so "
            "its area and volume count some places twice."
        )
    if report.overlapping_bodies:
        pairs = [f"{one} and {two}" for one, two in report.overlapping_bodies[:_FEW]]
        more = len(report.overlapping_bodies) - _FEW
        rest = f" and {more:,} more pairs" if more > 0 else ""
        yield f"Bodies overlap: {', '.join(pairs)}{rest}."
    if lying:
        yield f"{_counted(lying, 'pair')} of triangles lie on one another: a double wall."


def _shells(report: PartReport) -> Iterable[str]:
    cavities = report.of_kind(BodyKind.CAVITY)
    if cavities:
        volume = sum(abs(body.signed_volume or 0.0) for body in cavities)
        yield (
            f"{_named(cavities)} the wall of a sealed cavity ({shown(volume, 'mL')} in all): no "
            "solution gets in, its wall takes no copper, and the part floats more."
        )
    nested = report.of_kind(BodyKind.SOLID_IN_SOLID)
    if nested:
        yield (
            f"{_named(nested)} wholly inside another body and face the same way: a solid inside a "
            "solid, or a cavity whose wall is turned round."
        )
    loose = report.of_kind(BodyKind.LOOSE_IN_CAVITY)
    if loose:
        yield f"{_named(loose)} shut up loose in a sealed cavity; no solution reaches it."


def _small_faults(report: PartReport) -> Iterable[str]:
    if report.degenerate:
        yield f"{_counted(report.degenerate, 'triangle')} have no area to speak of."
    if report.duplicate:
        yield f"{_counted(report.duplicate, 'triangle')} are there twice."


def _walls(report: PartReport) -> Iterable[str]:
    walls = report.walls
    if walls is None:
        return
    yield (
        f"The thinnest wall met is {shown(walls.thinnest, 'mm')} at {_place(walls.where)}; "
        f"{100 * walls.thin_area_fraction:.2g} % of the area has a wall under "
        f"{shown(walls.thin_limit, 'mm')}, and half of it is over {shown(walls.median, 'mm')}."
    )


def _counted(count: int, one: str, many: str = "") -> str:
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def _named(bodies: tuple[PartBody, ...]) -> str:
    numbers = [str(body.number) for body in bodies]
    if len(numbers) == 1:
        return f"Body {numbers[0]} is"
    shown_numbers = ", ".join(numbers[:_FEW])
    more = f" and {len(numbers) - _FEW:,} more" if len(numbers) > _FEW else ""
    return f"Bodies {shown_numbers}{more} are"


def _place(point: Floats) -> str:
    x, y, z = (round(1e3 * float(value), 2) + 0.0 for value in point)
    return f"({x:g}, {y:g}, {z:g}) mm"
