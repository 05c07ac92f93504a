"""The account of a repair as sentences: first what was changed, then what was left."""

from collections.abc import Iterable

from tankside.base.messages import Quantity, said, said_of
from tankside.part.repair import RepairReport


def in_words(report: RepairReport) -> tuple[str, ...]:
    """What was done and what was left; one sentence where nothing was."""
    done = tuple(_done(report))
    return (*(done or (said("Nothing was changed."),)), *_left(report))


def _done(report: RepairReport) -> Iterable[str]:
    if count := report.corners_joined:
        yield said_of(
            "{count} corner was joined with one within the rounding of the file.",
            "{count} corners were joined with others within the rounding of the file.",
            count=count,
        )
    if count := report.unused_dropped:
        yield said_of(
            "{count} corner was dropped that no triangle used.",
            "{count} corners were dropped that no triangle used.",
            count=count,
        )
    if count := report.collapsed_dropped:
        yield said_of(
            "{count} triangle was dropped that had collapsed to a line.",
            "{count} triangles were dropped that had collapsed to a line.",
            count=count,
        )
    if count := report.duplicates_dropped:
        yield said_of(
            "{count} triangle was dropped that repeated another.",
            "{count} triangles were dropped that repeated another.",
            count=count,
        )
    if count := report.triangles_turned:
        yield said_of(
            "{count} triangle was turned to face as the neighbours do.",
            "{count} triangles were turned to face as the neighbours do.",
            count=count,
        )
    if count := report.needles_swapped:
        yield said_of(
            "{count} edge was swapped to be rid of triangles without height.",
            "{count} edges were swapped to be rid of triangles without height.",
            count=count,
        )
    if count := report.holes_filled:
        yield said_of(
            "{count} hole was closed with {area} of flat lids.",
            "{count} holes were closed with {area} of flat lids.",
            count=count,
            area=Quantity(report.filling_area, "cm^2"),
        )
    if count := report.seams_split:
        yield said_of(
            "{count} triangle was split at corners that lie on an open side of it.",
            "{count} triangles were split at corners that lie on an open side of it.",
            count=count,
        )
    if count := report.bodies_turned:
        yield said_of(
            "{count} body was turned to face outwards.",
            "{count} bodies were turned to face outwards.",
            count=count,
        )


def _left(report: RepairReport) -> Iterable[str]:
    if report.open_edges_left:
        yield (
            said(
                "Holes left open: {holes_left} ({open_edges_left} edges); only flat ones up to "
                "{largest_hole} across are closed.",
                holes_left=report.holes_left,
                open_edges_left=report.open_edges_left,
                largest_hole=Quantity(report.largest_hole, "mm"),
            )
        )
    if report.needles_left:
        yield said(
            "Triangles without height left: {needles_left}.", needles_left=report.needles_left
        )
    if report.one_sided:
        yield said(
            "Triangles in surfaces with only one side, left as they are: {one_sided}.",
            one_sided=report.one_sided,
        )
