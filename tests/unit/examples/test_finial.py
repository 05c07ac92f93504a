"""The demonstration part and its job: sizes of every feature, measured by rays through the file."""

import io
import tomllib

import numpy as np
import pytest
import trimesh

from tankside.app.job.reading import read_job
from tankside.base.arrays import Floats
from tankside.examples import finial, finial_job, finial_stl


@pytest.fixture(scope="module")
def mesh() -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(finial_stl()), file_type="stl")


def crossings(mesh: trimesh.Trimesh, start: Floats, direction: Floats) -> Floats:
    """Distances at which a line leaves or enters the solid (Möller and Trumbore), ascending."""
    a, b, c = (mesh.triangles[:, k] for k in range(3))
    p = np.cross(direction, c - a)
    scale = np.einsum("ij,ij->i", b - a, p)
    scale = np.where(np.abs(scale) < 1e-12, np.inf, scale)
    q = np.cross(start - a, b - a)
    u = np.einsum("ij,ij->i", start - a, p) / scale
    v = q @ direction / scale
    t = np.einsum("ij,ij->i", c - a, q) / scale
    hit = (u >= 0) & (v >= 0) & (u + v <= 1) & np.isfinite(scale)
    return np.unique(np.round(t[hit], 4))


def test_it_is_one_closed_body_of_the_stated_size(mesh: trimesh.Trimesh) -> None:
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.body_count == 1
    assert mesh.euler_number == 2
    np.testing.assert_allclose(mesh.bounds, [[-18, -18, 0], [18, 18, finial.HEIGHT_MM]], atol=1e-5)
    assert mesh.area_faces.min() > 0


def test_its_volume_is_that_of_its_turned_profile_less_socket_plus_fins(
    mesh: trimesh.Trimesh,
) -> None:
    profile = np.array(finial._profile())
    ends = np.roll(profile, -1, axis=0)
    across = profile[:, 0] * ends[:, 1] - ends[:, 0] * profile[:, 1]
    turned = 2 * np.pi * ((profile[:, 0] + ends[:, 0]) * across).sum() / 6  # Pappus
    socket = np.pi / 4 * finial.SOCKET_WIDTH_MM**2 * finial.SOCKET_DEPTH_MM
    heights = np.linspace(26.0, 45.2, 4001)
    rim = np.array(
        sorted(
            finial._curve((15.0, 26.0), (17.0, 33.0), (12.5, 40.0), (6.5, 45.2)), key=lambda p: p[1]
        )
    )
    outline = profile[(profile[:, 1] > 15.5) & (profile[:, 1] <= 44.5)]
    proud = np.interp(heights, rim[:, 1], rim[:, 0]) - np.interp(
        heights, outline[:, 1], outline[:, 0]
    )
    fins = 4 * finial.FIN_THICKNESS_MM * np.clip(proud, 0, None).mean() * 19.2
    assert mesh.volume == pytest.approx(turned - socket + fins, rel=2e-3)


def test_the_socket_is_blind_and_twice_as_deep_as_wide(mesh: trimesh.Trimesh) -> None:
    up = crossings(mesh, np.array([0.1, 0.05, -1.0]), np.array([0.0, 0.0, 1.0])) - 1.0
    assert up[0] == pytest.approx(finial.SOCKET_DEPTH_MM, abs=1e-3)
    assert len(up) == 2
    across = crossings(mesh, np.array([-30.0, 0.0, 3.0]), np.array([1.0, 0.0, 0.0])) - 30.0
    assert across[2] - across[1] == pytest.approx(finial.SOCKET_WIDTH_MM, rel=5e-3)


def test_the_groove_runs_round_deeper_than_wide(mesh: trimesh.Trimesh) -> None:
    inward = crossings(mesh, np.array([30.0, 0.0, 11.0]), np.array([-1.0, 0.0, 0.0]))
    assert 30.0 - inward[0] == pytest.approx(11.0 - finial.GROOVE_DEPTH_MM, rel=1e-3)
    down = crossings(mesh, np.array([8.5, 0.0, 100.0]), np.array([0.0, 0.0, -1.0]))
    heights = 100.0 - down
    assert 13.0 in heights
    assert 10.0 in heights
    assert not ((heights > 10.0) & (heights < 13.0)).any()


def test_the_fins_are_thin_and_four(mesh: trimesh.Trimesh) -> None:
    for turn in np.deg2rad([45, 135, 225, 315]):
        outward = np.array([np.cos(turn), np.sin(turn), 0.0])
        sideways = np.array([-np.sin(turn), np.cos(turn), 0.0])
        start = 13.0 * outward + [0, 0, 33.0] - 2.0 * sideways
        through = crossings(mesh, start, sideways)
        near = through[(through > 0) & (through < 4)]
        assert near[1] - near[0] == pytest.approx(finial.FIN_THICKNESS_MM, abs=1e-3)


def test_the_same_file_comes_out_each_time() -> None:
    assert finial_stl() == finial_stl()


def test_its_job_is_a_right_job_with_18_litres() -> None:
    job = read_job(finial_job(), name="finial.toml")
    assert tomllib.loads(finial_job())["part"]["file"] == "finial.stl"
    width, depth, _ = job.tank.inside
    assert width * depth * job.tank.liquid_depth == pytest.approx(18e-3)


def test_it_hangs_in_the_liquid_well_clear_of_the_anodes(mesh: trimesh.Trimesh) -> None:
    tables = tomllib.loads(finial_job())
    metres = [[float(word.split()[0]) / 100 for word in anode["at"]] for anode in tables["anode"]]
    hang = float(tables["part"]["at"][2].split()[0]) / 100
    assert tables["part"]["rotate"] == [180, 0, 0]
    assert hang < 0.25 - 0.05
    assert hang - mesh.bounds[1, 2] / 1000 > 0.05
    assert all(abs(at[0]) - mesh.bounds[1, 0] / 1000 > 0.10 for at in metres)
