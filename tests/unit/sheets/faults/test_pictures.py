"""Every fault has a picture of its own, and every picture is whole."""

import re
from xml.etree import ElementTree

import pytest

from tankside.base.errors import UnknownName
from tankside.diagnosis.loading import atlas
from tankside.sheets.faults.picture import (
    ALL_LOOKS,
    BASES,
    contact_sheet,
    fault_picture,
    fault_shapes,
    pictured,
)
from tankside.sheets.faults.region import Region, box
from tankside.sheets.faults.scene import HEIGHT, WIDTH

FAULTS = list(atlas().faults)


def test_every_fault_has_a_picture_and_no_picture_is_left_over() -> None:
    assert sorted(pictured()) == sorted(FAULTS)


@pytest.mark.parametrize("fault", FAULTS)
def test_a_picture_is_whole(fault: str) -> None:
    root = ElementTree.fromstring(fault_picture(fault, title=atlas().faults[fault].look))
    assert root[0].text == atlas().faults[fault].look
    assert len(root) > 4
    numbers = re.findall(r"nan|inf", " ".join(fault_shapes(fault)))
    assert numbers == []


@pytest.mark.parametrize("fault", FAULTS)
def test_a_picture_stays_on_its_sheet(fault: str) -> None:
    """All corners of paths lie within a few points of the frame."""
    for path in re.findall(r'\bd="M([^"]+)"', " ".join(fault_shapes(fault))):
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.replace("L", " L ")):
            assert -6.0 <= float(x) <= WIDTH + 6.0
            assert -6.0 <= float(y) <= HEIGHT + 6.0


def test_no_two_faults_share_a_picture() -> None:
    drawn = {fault: "".join(fault_shapes(fault)) for fault in FAULTS}
    assert len(set(drawn.values())) == len(FAULTS)


def test_pictures_are_the_same_each_time() -> None:
    assert fault_picture("pits") == fault_picture("pits")


def test_every_base_and_look_is_used() -> None:
    recipes = pictured().values()
    assert {recipe["base"] for recipe in recipes} == set(BASES)
    used = {look for recipe in recipes for look, _ in recipe["marks"]}
    unused = set(ALL_LOOKS) - used
    assert unused == set(), unused


def test_the_sheet_shows_all_with_their_names() -> None:
    sheet = contact_sheet([(one.id, one.name) for one in atlas().faults.values()])
    words = {node.text for node in ElementTree.fromstring(sheet).iter() if node.text}
    assert {one.name for one in atlas().faults.values()} <= words


def test_an_unknown_fault_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="burnt-edges"):
        fault_picture("burnt-edge")


def test_points_spread_evenly_inside() -> None:
    ring = Region(outline=box(0, 0, 60, 60), holes=(box(20, 20, 40, 40),))
    points = [point for point, _ in ring.spread(3.0)]
    assert all(ring.holds(point) for point in points)
    quarters = [sum(1 for x, y in points if (x < 30) == a and (y < 30) == b)
                for a in (True, False) for b in (True, False)]  # fmt: skip
    assert min(quarters) > 0.85 * max(quarters)
    assert len(points) == pytest.approx((3600 - 400) / 9, rel=0.1)
