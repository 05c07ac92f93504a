"""Hierarchical operators against dense ones, and the laws that both obey."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, Cancelled, MeshDefect, NotConverged
from tankside.field import assembly, hierarchical, threads
from tankside.field.dense import LARGEST_DENSE, dense_operators
from tankside.field.hierarchical import MISS, build_operators
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.field.pieces import FarPiece
from tankside.validation.closed_shapes import box, disc, sphere, turned


@pytest.fixture(autouse=True)
def _compressed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small boundaries are compressed like large ones here."""
    monkeypatch.setattr(assembly, "FEW", 0)


def panels_of(pieces: list[Floats], mirror_level: float | None = None) -> Panels:
    return Panels(
        corners=np.concatenate(pieces),
        group=np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces]),
        mirror_level=mirror_level,
    )


def open_box(lines: Floats, depth: Floats) -> Floats:
    """The walls and floor below a liquid's surface at z = 0."""
    return np.concatenate([face for name, face in box(lines, lines, depth).items() if name != "z+"])


def spheres() -> Panels:
    return panels_of([sphere(0.03, 5), turned(sphere(0.10, 5))])


def mirrored_tank() -> Panels:
    """Two bodies of unlike size that nearly touch, below a liquid's surface."""
    tank = open_box(np.linspace(-0.1, 0.1, 7), np.linspace(-0.15, 0, 6))
    large = sphere(0.03, 4) + np.array([0, 0, -0.08])
    small = sphere(0.004, 2) + np.array([0.0345, 0, -0.08])
    return panels_of([large, tank, small], mirror_level=0.0)


def thin_plate() -> Panels:
    """A plate a tenth of a panel thick, hanging through the liquid's surface."""
    tank = open_box(np.linspace(-0.1, 0.1, 7), np.linspace(-0.15, 0, 6))
    plate = box(np.array([-0.0005, 0.0005]), np.linspace(-0.04, 0.04, 9), np.linspace(-0.08, 0, 9))
    skin = np.concatenate([turned(face) for name, face in plate.items() if name != "z+"])
    return panels_of([skin, tank], mirror_level=0.0)


def assert_alike(found: Floats, expected: Floats) -> None:
    """Equal to the rounding of coded blocks."""
    assert found == pytest.approx(expected, abs=2e-4 * np.abs(expected).max())


CELLS = {"spheres": spheres, "mirrored tank": mirrored_tank, "thin plate": thin_plate}


def fields(panels: Panels) -> dict[str, Floats]:
    x, y, z = panels.centroids.T
    return {
        "random": np.random.default_rng(0).normal(size=len(panels)),
        "constant": np.ones(len(panels)),
        "linear": x + 2 * y,
        "quadratic": x * x - z * z,
        "one body": (panels.group == 0) * 1.0,
    }


@pytest.mark.parametrize("cell", CELLS)
def test_dense_and_hierarchical_operators_agree(cell: str) -> None:
    panels = CELLS[cell]()
    dense, fast = dense_operators(panels), build_operators(panels)
    zero = np.zeros(len(panels))
    for name, values in fields(panels).items():
        for flux, potential in ((values, zero), (zero, values)):
            expected, found = (form.applied(flux, potential) for form in (dense, fast))
            error = np.linalg.norm(found - expected) / np.linalg.norm(expected)
            assert error < 2e-4, (name, error)


@pytest.mark.parametrize("cell", CELLS)
@pytest.mark.parametrize("build", [dense_operators, build_operators])
def test_closed_boundaries_close(cell: str, build: object) -> None:
    panels = CELLS[cell]()
    operators = build(panels)  # type: ignore[operator]
    assert operators.closure < 1e-4
    assert operators.closure == np.abs(operators.defect).max()
    assert abs(operators.defect[operators.closure_panel]) == operators.closure
    assert operators.warnings == ()
    # And what is left is made good: a constant potential drives nothing at all.
    ones = np.full(len(panels), 7.0)
    assert operators.applied(0 * ones, ones) == pytest.approx(-ones / 2, abs=1e-12)


@pytest.mark.parametrize("build", [dense_operators, build_operators])
def test_harmonic_potentials_obey_the_boundary_equation(build: object) -> None:
    """1/2 phi - K phi + S dphi/dn = 0 with n into the solution, for phi = 1 / |x - source|."""
    errors = []
    for frequency in (3, 6):
        panels = panels_of([sphere(0.03, frequency), turned(sphere(0.10, frequency))])
        away = panels.centroids - np.array([0.01, 0, 0.005])
        distance = np.linalg.norm(away, axis=1)
        flux = -(away * panels.normals).sum(axis=1) / distance**3
        operators = build(panels)  # type: ignore[operator]
        residual = 0.5 / distance + operators.applied(flux, 1 / distance)
        errors.append(float(np.abs(residual).max() * 0.03))
    assert errors[1] < 0.01
    assert errors[1] < errors[0] / 3  # second order in the panels' size


def test_the_image_equals_the_doubled_geometry() -> None:
    half = thin_plate()
    image = turned(half.corners * np.array([1, 1, -1]))
    doubled = Panels(
        corners=np.concatenate([half.corners, image]),
        group=np.concatenate([half.group, half.group + 2]),
    )
    count = len(half)
    flux, potential = np.random.default_rng(1).normal(size=(2, count))
    below, both = build_operators(half), build_operators(doubled)
    assert_alike(
        below.applied(flux, 0 * flux), both.applied(np.tile(flux, 2), np.zeros(2 * count))[:count]
    )
    found = both.applied(np.tile(flux, 2), np.tile(potential, 2))
    assert_alike(found[:count], found[count:])
    # Slopes of walls cut by the surface are fitted without the image's panels, so not all is alike.
    away = half.centroids[:, 2] < -3 * half.sizes.max()
    assert away.sum() > 50
    assert_alike(below.applied(flux, potential)[away], found[:count][away])


def test_size_scales_the_single_layer_alone() -> None:
    small = mirrored_tank()
    large = Panels(corners=50 * small.corners, group=small.group, mirror_level=0.0)
    flux, potential = np.random.default_rng(2).normal(size=(2, len(small)))
    one, other = build_operators(small), build_operators(large)
    zero = 0 * flux
    assert_alike(other.applied(flux, zero), 50 * one.applied(flux, zero))
    assert_alike(other.applied(zero, potential), one.applied(zero, potential))


def test_the_surface_may_lie_at_any_level() -> None:
    at_zero = mirrored_tank()
    shift = np.array([3.0, -2.0, 1.7])
    moved = Panels(corners=at_zero.corners + shift, group=at_zero.group, mirror_level=1.7)
    flux, potential = np.random.default_rng(3).normal(size=(2, len(moved)))
    expected = build_operators(at_zero).applied(flux, potential)
    assert_alike(build_operators(moved).applied(flux, potential), expected)


def test_few_panels_are_not_compressed(monkeypatch: pytest.MonkeyPatch) -> None:
    panels = spheres()
    assert any(isinstance(piece, FarPiece) for piece in build_operators(panels).stored.pieces)
    monkeypatch.setattr(assembly, "FEW", len(panels))
    whole = build_operators(panels)
    assert not any(isinstance(piece, FarPiece) for piece in whole.stored.pieces)
    exact = dense_operators(panels)
    for field in fields(panels).values():
        wanted = exact.applied(field, field)
        missed = np.linalg.norm(whole.applied(field, field) - wanted)
        assert missed < 2e-4 * np.linalg.norm(wanted)


def test_the_panels_order_does_not_matter() -> None:
    panels = mirrored_tank()
    shuffle = np.random.default_rng(4).permutation(len(panels))
    shuffled = Panels(
        corners=panels.corners[shuffle], group=panels.group[shuffle], mirror_level=0.0
    )
    flux, potential = np.random.default_rng(5).normal(size=(2, len(panels)))
    expected = build_operators(panels).applied(flux, potential)
    found = build_operators(shuffled).applied(flux[shuffle], potential[shuffle])
    assert found == pytest.approx(expected[shuffle], abs=1e-7)


def test_results_do_not_depend_on_the_number_of_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    panels = spheres()
    flux, potential = np.random.default_rng(6).normal(size=(2, len(panels)))
    results = []
    for count in (1, 2, 5, 1):
        monkeypatch.setattr(threads, "thread_count", lambda count=count: count)
        operators = build_operators(panels)
        solution = operators.preconditioner(flux**2, potential**2)(flux)
        results.append(np.concatenate([operators.applied(flux, potential), solution]))
    for result in results[1:]:
        assert (result == results[0]).all()


def with_hole() -> Panels:
    lines = np.linspace(0, 0.1, 5)
    faces = box(lines, lines, lines)
    return panels_of([np.concatenate([face for name, face in faces.items() if name != "y-"])])


def inside_out() -> Panels:
    return panels_of([turned(sphere(0.03, 3)), turned(sphere(0.10, 3))])


@pytest.mark.parametrize("build", [dense_operators, build_operators])
@pytest.mark.parametrize("broken", [with_hole, inside_out])
def test_boundaries_that_do_not_close_are_refused(build: object, broken: object) -> None:
    with pytest.raises(MeshDefect, match=r"not closed near panel \d+ of body"):
        build(broken())  # type: ignore[operator]


@pytest.mark.parametrize("build", [dense_operators, build_operators])
def test_slits_are_told(build: object) -> None:
    corners = turned(sphere(0.10, 4)).copy()
    middle = corners[7].mean(axis=0)
    corners[7] = middle + 0.95 * (corners[7] - middle)
    operators = build(panels_of([sphere(0.03, 4), corners]))  # type: ignore[operator]
    (warning,) = operators.warnings
    assert "closes only to" in warning
    assert f"panel {operators.closure_panel} of body" in warning


def test_an_open_boundary_is_taken_when_it_is_meant() -> None:
    panels = panels_of([disc(1.0, 6, 2.0)], mirror_level=0.0)
    for build in (dense_operators, build_operators):
        operators: Operators = build(panels, closed=False)
        ones = np.ones(len(panels))
        # Alone in the liquid's surface, a plate sees nothing but its own back.
        assert operators.applied(0 * ones, ones) == pytest.approx(ones / 2, abs=1e-6)
        assert operators.warnings == ()


def test_a_body_alone_in_infinite_solution() -> None:
    panels = panels_of([sphere(0.03, 5)])
    operators = build_operators(panels, closed=False)
    # phi = a / r: on the sphere phi = 1, dphi/dn = -1 / a, and it vanishes far off.
    residual = 0.5 + operators.applied(np.full(len(panels), -1 / 0.03), np.ones(len(panels)))
    assert np.abs(residual).max() < 0.02
    assert operators.closure == pytest.approx(1.0, abs=1e-4)


def test_wrong_input_is_refused() -> None:
    nothing = Panels(corners=np.zeros((0, 3, 3)), group=np.zeros(0, dtype=int))
    with pytest.raises(BadInput, match="no panels"):
        build_operators(nothing)
    with pytest.raises(BadInput, match="1 to 3000 panels, not 0"):
        dense_operators(nothing)
    with pytest.raises(BadInput, match=r"tolerance is 0\.5"):
        build_operators(spheres(), tolerance=0.5)
    many = sphere(1.0, 13)
    assert len(many) > LARGEST_DENSE
    with pytest.raises(BadInput, match=f"not {len(many)}; build hierarchical ones"):
        dense_operators(panels_of([many]), closed=False)


def test_one_panel_is_enough() -> None:
    panels = panels_of([sphere(0.03, 1)[:1]])
    operators = build_operators(panels, closed=False)
    dense = dense_operators(panels, closed=False)
    flux, potential = np.array([2.0]), np.array([3.0])
    assert operators.applied(flux, potential) == pytest.approx(dense.applied(flux, potential))
    inverse = operators.preconditioner(np.ones(1), np.zeros(1))
    assert inverse(potential) == pytest.approx([6.0])


def test_a_tighter_tolerance_brings_less_error_and_more_memory() -> None:
    panels = spheres()
    dense = dense_operators(panels)
    flux = np.ones(len(panels))  # what is far counts; the codes of what is near are the same
    exact = dense.applied(flux, 0 * flux)
    loose, tight = (build_operators(panels, tolerance=tolerance) for tolerance in (1e-3, 1e-5))
    errors = [np.linalg.norm(form.applied(flux, 0 * flux) - exact) for form in (loose, tight)]
    assert errors[0] > 2 * errors[1]
    assert loose.nbytes < tight.nbytes


def test_what_fails_its_check_is_compressed_again_more_tightly(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    panels = spheres()
    once, again = (build_operators(panels, tolerance=tolerance) for tolerance in (1e-2, 1e-3))
    assert once.sampled_miss <= MISS
    assert once.nbytes == again.nbytes
    monkeypatch.setattr(hierarchical, "MISS", 1e-9)
    with pytest.raises(NotConverged, match="miss the exact ones"):
        build_operators(panels)


def test_progress_is_told_and_may_stop_the_work() -> None:
    told: list[tuple[str, float]] = []
    build_operators(spheres(), progress=lambda stage, fraction: told.append((stage, fraction)))
    assert [stage for stage, fraction in told if fraction == 0.0] == [
        "compressing far panels",
        "integrating slopes",
        "integrating near panels",
    ]
    assert all(0 <= fraction <= 1 for _, fraction in told)

    def stop(stage: str, fraction: float) -> None:
        if stage == "integrating near panels":
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        build_operators(spheres(), progress=stop)
