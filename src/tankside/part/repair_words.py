"""The account of a repair as sentences: first what was changed, then what was left."""

from collections.abc import Iterable

from tankside.base.units import shown
from tankside.part.repair import RepairReport


def in_words(report: RepairReport) -> tuple[str, ...]:
    """What was done and what was left; one sentence where nothing was."""
    done = tuple(_done(report))
    return (*(done or ("Nothing was changed.",)), *_left(report))


def _done(report: RepairReport) -> Iterable[str]:
    counts = (
        (report.corners_joined, "corner was joined with one", "corners were joined with others",
         "within the rounding of the file"),
        (report.unused_dropped, "corner was dropped", "corners were dropped",
         "that no triangle used"),
        (report.collapsed_dropped, "triangle was dropped", "triangles were dropped",
         "that had collapsed to a line"),
        (report.duplicates_dropped, "triangle was dropped", "triangles were dropped",
         "that repeated another"),
        (report.triangles_turned, "triangle was turned", "triangles were turned",
         "to face as the neighbours do"),
        (report.needles_swapped, "edge was swapped", "edges were swapped",
         "to be rid of triangles without height"),
        (report.holes_filled, "hole was closed", "holes were closed",
         f"with {shown(report.filling_area, 'cm^2')} of flat lids"),
        (report.seams_split, "triangle was split", "triangles were split",
         "at corners that lie on an open side of it"),
        (report.bodies_turned, "body was turned", "bodies were turned", "to face outwards"),
    )  # fmt: skip
    for count, one, many, why in counts:
        if count:
            yield f"{count:,} {one if count == 1 else many} {why}."


def _left(report: RepairReport) -> Iterable[str]:
    if report.open_edges_left:
        yield (
            f"Holes left open: {report.holes_left:,} ({report.open_edges_left:,} edges); only flat "
            f"ones up to {shown(report.largest_hole, 'mm')} across are closed."
        )
    if report.needles_left:
        yield f"Triangles without height left: {report.needles_left:,}."
    if report.one_sided:
        yield f"Triangles in surfaces with only one side, left as they are: {report.one_sided:,}."
