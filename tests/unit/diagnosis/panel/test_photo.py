"""A panel read off a photo: rendered photos with zones known, and what is refused."""

import numpy as np
import pytest

from tankside.app.read_a_panel import PanelRequest, read_a_panel
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.panel import Look, cell_named, current_along
from tankside.diagnosis.panel.photo import Proposed, as_picture, laid_flat, proposed_zones
from tankside.diagnosis.panel.photo.change_points import FADING, best_division
from tests.unit.diagnosis.panel.rendered import Photo, photo

SMALL = cell_named("267 mL")
FOUND_WITHIN = 5e-3
"""A boundary farther than this from any that was proposed counts as missed [m]."""


def nearest(proposed: Proposed, at: float) -> Interval | None:
    places = [one.start for one in proposed.stretches[1:]]
    if not places:
        return None
    best = min(places, key=lambda place: abs(place.best - at))
    return best if abs(best.best - at) <= FOUND_WITHIN else None


def counted(seeds: range) -> tuple[int, int, int, int]:
    """Boundaries, those found, those inside their interval, and boundaries too many."""
    total = found = inside = extra = 0
    for seed in seeds:
        one = photo(seed)
        proposed = proposed_zones(one.picture, one.corners, SMALL)
        total += len(one.boundaries)
        hits = [
            (place, at * SMALL.length)
            for at in one.boundaries
            if (place := nearest(proposed, at * SMALL.length)) is not None
        ]
        found += len(hits)
        inside += sum(place.low <= at <= place.high for place, at in hits)
        extra += len(proposed.stretches) - 1 - len({place.best for place, _ in hits})
    return total, found, inside, extra


def test_boundaries_lie_within_what_is_stated() -> None:
    total, found, inside, extra = counted(range(1000, 1012))
    assert total > 10
    assert found == total
    assert inside >= 0.9 * total - 1
    assert extra <= 4


@pytest.mark.slow
def test_boundaries_of_two_hundred_photos_lie_within_what_is_stated() -> None:
    total, found, inside, extra = counted(range(200))
    assert total > 250
    assert found >= 0.98 * total
    assert inside >= 0.9 * total
    assert extra <= 0.2 * total


def test_the_stated_error_is_worth_stating() -> None:
    """Intervals as wide as the panel would hold every boundary."""
    halves = []
    for seed in range(6):
        one = photo(seed)
        for stretch in proposed_zones(one.picture, one.corners, SMALL).stretches[1:]:
            halves.append((stretch.start.high - stretch.start.low) / 2)
    assert np.mean(halves) < 1.6e-3


def test_perspective_is_taken_out() -> None:
    """A chequered plane seen askew comes back with its lines where they were."""
    rows, columns = np.mgrid[0:400, 0:600].astype(float)
    corners = np.array([[80.0, 60.0], [520.0, 110.0], [480.0, 330.0], [120.0, 350.0]])
    from skimage.transform import estimate_transform

    into = estimate_transform("projective", corners, np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]]))
    flat = into(np.stack([columns.ravel(), rows.ravel()], axis=1))
    along = flat[:, 0].reshape(rows.shape)
    picture = np.repeat((along > 0.3)[:, :, None], 3, axis=2).astype(float)
    seen = laid_flat(picture, corners)[:, :, 0]
    edge = (seen > 0.5).argmax(axis=1) / seen.shape[1]
    assert edge == pytest.approx(0.3, abs=0.006)


def test_one_look_has_no_boundary() -> None:
    chance = np.random.default_rng(3)
    even = chance.normal(size=(5, 128))
    assert best_division(even) == ()
    even[:, 70:] += 6.0
    assert [abs(one - 70) <= FADING for one in best_division(even)] == [True]


def two_zones() -> Photo:
    return next(one for one in map(photo, range(50)) if one.looks[1:] == ("bright", "dull"))


def test_a_person_moves_merges_and_names() -> None:
    one = two_zones()
    proposed = proposed_zones(one.picture, one.corners, SMALL)
    assert len(proposed.stretches) == 3
    moved = proposed.moved(0, proposed.stretches[0].end.best + 1e-3, 1e-3)
    assert moved.stretches[0].end == moved.stretches[1].start
    assert moved.stretches[0].end.best == pytest.approx(proposed.stretches[0].end.best + 1e-3)
    merged = proposed.merged(1)
    assert [s.end.best for s in merged.stretches][-1] == proposed.stretches[-1].end.best
    zones = proposed.named((Look.BURNT, Look.BRIGHT, Look.BRIGHT))
    assert [zone.look for zone in zones] == [Look.BURNT, Look.BRIGHT]
    assert zones[1].end.best == proposed.stretches[-1].end.best
    assert [z.look for z in proposed.named((None, Look.BRIGHT, Look.DULL))] == [
        Look.BRIGHT,
        Look.DULL,
    ]


def test_named_zones_are_read_with_their_own_errors() -> None:
    one = two_zones()
    zones = proposed_zones(one.picture, one.corners, SMALL).named(
        (Look.BURNT, Look.BRIGHT, Look.DULL)
    )
    reading = read_a_panel(PanelRequest(zones=zones, current="2 A")).reading
    assert reading.burnt_above is not None
    assert reading.burnt_above.position == zones[0].end
    at = one.boundaries[0] * SMALL.length
    true = current_along(SMALL, at, 2.0).field.best
    assert true in reading.burnt_above.current_density


def test_dark_and_rough_is_proposed_as_burnt_and_grey_as_bare() -> None:
    for seed in range(60):
        one = photo(seed)
        if one.looks != ("burnt", "bright", "bare"):
            continue
        stretches = proposed_zones(one.picture, one.corners, SMALL).stretches
        assert stretches[0].proposed is Look.BURNT
        assert stretches[-1].proposed is Look.BARE
        return
    pytest.fail("no such photo was drawn")


def test_pictures_of_every_kind_are_read() -> None:
    whole = np.full((20, 30, 4), 255, dtype=np.uint8)
    assert as_picture(whole).shape == (20, 30, 3)
    assert as_picture(whole).max() == 1.0
    assert as_picture(np.zeros((20, 30))).shape == (20, 30, 3)
    assert as_picture(np.full((4, 4), 2**16 - 1, dtype=np.uint16)).max() == 1.0


SQUARE = np.array([[20.0, 20.0], [180.0, 20.0], [180.0, 120.0], [20.0, 120.0]])


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (SQUARE[:3], "four corners"),
        (SQUARE.ravel(), "four corners"),
        (np.where(SQUARE == 20.0, np.nan, SQUARE), "four corners"),
        (SQUARE + 100.0, "outside the photo"),
        (SQUARE - 30.0, "outside the photo"),
        (SQUARE[[0, 2, 1, 3]], "do not go round"),
        (np.array([[20.0, 20.0], [180.0, 20.0], [60.0, 40.0], [20.0, 120.0]]), "do not go round"),
        (np.repeat(SQUARE[:1], 4, axis=0), "do not go round"),
        (0.4 * SQUARE, "64 pixels long"),
    ],
)
def test_corners_that_are_none(corners: Floats, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        proposed_zones(np.full((140, 200, 3), 0.5), corners, SMALL)


@pytest.mark.parametrize(
    "pixels",
    [np.zeros(5), np.zeros((4, 4, 2)), np.full((4, 4, 3), 3.0), np.full((4, 4, 3), np.nan)],
)
def test_what_is_no_picture(pixels: Floats) -> None:
    with pytest.raises(BadInput, match="photo"):
        as_picture(pixels)


def test_boundaries_that_are_not_there() -> None:
    one = two_zones()
    proposed = proposed_zones(one.picture, one.corners, SMALL)
    with pytest.raises(BadInput, match="no boundary 7"):
        proposed.moved(7, 0.05, 1e-3)
    with pytest.raises(BadInput, match="no boundary 2"):
        proposed.merged(2)
    with pytest.raises(BadInput, match="between its neighbours"):
        proposed.moved(0, 0.1, 1e-3)
    with pytest.raises(BadInput, match="as many looks"):
        proposed.named((Look.BURNT,))
