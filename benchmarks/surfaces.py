"""The analysis surface: count, shape, distance and time, on made shapes and on files.

Shapes of known kind (ball, box, bar, cups with thin walls, plate with holes, fins, random solids of
boxes, cones and balls) and any files named. For each: triangles in, asked and made; percentiles
1 and 5 of the smallest angles; share of triangles under 20 degrees; largest distance over the
diagonal; change of area; pairs of triangles that cross; seconds of the wall clock and of the
processor. With --peers, the same skins go through MMG (mmgpy) and gpytoolbox's remesh_botsch where
these are installed, each in a process of its own with a time limit, since MMG can crash.

    python benchmarks/surfaces.py [--counts 2000 12000 50000] [--random 10] [--peers] [file ...]
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from tankside.base.errors import TanksideError
from tankside.part.analysis import analysis_surface
from tankside.part.direct import Skin, outer_skin, simplified
from tankside.part.mesh import TriangleMesh
from tankside.part.read import read_part
from tankside.part.surface_quality import surface_quality
from tankside.part.surface_samples import largest_distance

HEAD = (
    f"{'mesh':24s} {'way':11s} {'in':>8s} {'asked':>6s} {'made':>6s} {'p1':>5s} {'p5':>5s} "
    f"{'<20 %':>6s} {'distance':>9s} {'area %':>7s} {'cross':>5s} {'wall s':>7s} {'cpu s':>6s}"
)
PEER_LIMIT = 120.0
"""Seconds that a peer may take."""


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("files", nargs="*")
    parser.add_argument("--counts", nargs="+", type=int, default=[12_000])
    parser.add_argument("--random", type=int, default=0, help="how many random solids to add")
    parser.add_argument("--peers", action="store_true")
    parser.add_argument("--peer", nargs=4, help="run one peer: name, in, out, edge length")
    arguments = parser.parse_args()
    if arguments.peer:
        run_peer(*arguments.peer)
        return
    meshes = shapes() | {f"random {seed}": random_solid(seed) for seed in range(arguments.random)}
    for name in arguments.files:
        meshes[Path(name).name] = read_part(Path(name).read_bytes(), name, unit="mm").mesh
    analysis_surface(meshes["ball"], triangles=1000)
    print(f"{os.cpu_count()} processors, load at the start {os.getloadavg()[0]:.1f}\n{HEAD}")
    for name, mesh in meshes.items():
        for count in arguments.counts:
            measure(name, mesh, count)
            if arguments.peers:
                for peer in ("mmg", "botsch"):
                    measure_peer(name, mesh, count, peer)


def measure(name: str, mesh: TriangleMesh, count: int) -> None:
    wall, cpu = time.perf_counter(), time.process_time()
    try:
        made = analysis_surface(mesh, triangles=count)
    except TanksideError as error:
        print(f"{name:24s} {'refused':11s} {error}")
        return
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    show(
        name, made.route, mesh, count, made.mesh, made.largest_distance, made.area_change, wall, cpu
    )


def show(
    name: str,
    way: str,
    mesh: TriangleMesh,
    count: int,
    made: TriangleMesh,
    distance: float,
    area_change: float,
    wall: float,
    cpu: float,
) -> None:
    quality = surface_quality(made)
    low, high = mesh.box
    one, five, _ = np.degrees(quality.smallest_angle_percent)
    print(
        f"{name:24s} {way:11s} {len(mesh.triangles):8d} {count:6d} {len(made.triangles):6d} "
        f"{one:5.1f} {five:5.1f} {100 * quality.below_20_degrees:6.2f} "
        f"{distance / np.linalg.norm(high - low):9.1e} {100 * area_change:7.3f} "
        f"{quality.crossings:5d} {wall:7.2f} {cpu:6.2f}"
        + ("" if quality.manifold else "  NOT MANIFOLD"),
        flush=True,
    )


def measure_peer(name: str, mesh: TriangleMesh, count: int, peer: str) -> None:
    """The same skin through another remesher; only the remeshing itself is timed."""
    skin = outer_skin(mesh)
    low, high = mesh.box
    plain = (
        simplified(skin, 3e-5 * float(np.linalg.norm(high - low)))
        if isinstance(skin, Skin)
        else skin
    )
    if not isinstance(skin, Skin) or not isinstance(plain, Skin):
        return
    whole = TriangleMesh(vertices=skin.vertices, triangles=skin.triangles)
    edge = float(np.sqrt(whole.area / count * 4 / np.sqrt(3)))
    with tempfile.TemporaryDirectory() as folder:
        given, got = Path(folder, "in.npz"), Path(folder, "out.npz")
        np.savez(given, vertices=plain.vertices, triangles=plain.triangles)
        command = [sys.executable, __file__, "--peer", peer, str(given), str(got), str(edge)]
        try:
            run = subprocess.run(command, capture_output=True, timeout=PEER_LIMIT, text=True)
        except subprocess.TimeoutExpired:
            print(f"{name:24s} {peer:11s} no answer in {PEER_LIMIT:.0f} s")
            return
        if run.returncode or not got.exists():
            reason = (run.stderr.strip().splitlines() or ["crashed"])[-1]
            print(f"{name:24s} {peer:11s} failed ({run.returncode}): {reason[:70]}")
            return
        found = np.load(got)
        made = TriangleMesh(vertices=found["vertices"], triangles=found["triangles"])
    seconds: dict[str, float] = json.loads(run.stdout.strip().splitlines()[-1])
    away = largest_distance(whole, made)
    change = made.area / whole.area - 1
    show(name, peer, mesh, count, made, away, change, seconds["wall"], seconds["cpu"])


def run_peer(peer: str, given: str, got: str, edge: str) -> None:
    """In a process of its own: one peer at its usual settings, its size set to meet the count."""
    found = np.load(given)
    vertices, triangles, length = found["vertices"], found["triangles"], float(edge)
    size = float(np.linalg.norm(np.ptp(vertices, axis=0)))
    wall, cpu = time.perf_counter(), time.process_time()
    call = {"mmg": _mmg, "botsch": _botsch}[peer]
    vertices, triangles = call(vertices / size, triangles, length / size)
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    np.savez(got, vertices=np.asarray(vertices) * size, triangles=np.asarray(triangles))
    print(json.dumps({"wall": wall, "cpu": cpu}))


def _refined(vertices: Any, triangles: Any, length: float) -> tuple[Any, Any]:
    import manifold3d

    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles.astype(np.uint64)))
    mesh = solid.refine_to_length(length).to_mesh64()
    points = np.array(mesh.vert_properties)[:, :3].copy()
    return points, np.asarray(mesh.tri_verts).astype(np.int32)


def _mmg(vertices: Any, triangles: Any, length: float) -> tuple[Any, Any]:
    import mmgpy

    vertices, triangles = _refined(vertices, triangles, length)
    mesh = mmgpy.MmgMeshS(vertices, triangles)
    mesh.remesh(hsiz=1.1 * length, hausd=1e-3, ar=32, verbose=-1)
    return mesh.get_vertices(), mesh.get_triangles()


def _botsch(vertices: Any, triangles: Any, length: float) -> tuple[Any, Any]:
    import gpytoolbox

    vertices, triangles = _refined(vertices, triangles, length)
    return gpytoolbox.remesh_botsch(
        vertices, triangles, 10, length, True,
        detect_feature_edges=True, feature_dihedral_threshold=30.0,
    )  # fmt: skip


def shapes() -> dict[str, TriangleMesh]:
    """Shapes in millimetre numbers, taken as metres over a thousand."""
    from manifold3d import Manifold, OpType

    plate = Manifold.cube((60, 40, 4))
    for x in (12, 30, 48):
        for y, radius in ((12, 2.5), (28, 3.5)):
            plate = plate - Manifold.cylinder(8, radius, radius, 48).translate((x, y, -2))
    fins = [Manifold.cube((40, 30, 4))]
    fins += [Manifold.cube((0.8, 30, 20)).translate((2 + 3 * k, 0, 3)) for k in range(12)]
    return {
        "ball": _mesh(Manifold.sphere(20, 128)),
        "box": _mesh(Manifold.cube((20, 20, 20))),
        "bar": _mesh(Manifold.cylinder(40, 10, 10, 96)),
        "cup 2 mm": _mesh(_cup(2.0)),
        "cup 0.6 mm": _mesh(_cup(0.6)),
        "cup 0.2 mm": _mesh(_cup(0.2)),
        "plate with holes": _mesh(plate),
        "fins 0.8 mm": _mesh(Manifold.batch_boolean(fins, OpType.Add)),
        "ball, a million": _mesh(Manifold.sphere(20, 1420)),
    }


def _cup(wall: float) -> Any:
    from manifold3d import Manifold

    inside = Manifold.cylinder(40, 15 - wall, 15 - wall, 96).translate((0, 0, wall))
    return Manifold.cylinder(40, 15, 15, 96) - inside


def random_solid(seed: int) -> TriangleMesh:
    """A few boxes, cones, balls and thin plates at random, added and cut."""
    from manifold3d import Manifold

    random = np.random.default_rng(seed)
    solid = Manifold.cube((20, 20, 20), True)
    for _ in range(int(random.integers(2, 9))):
        a, b, c = random.uniform(4, 25, 3)
        kind = int(random.integers(4))
        part = (
            Manifold.cube((a, b, c), True),
            Manifold.cylinder(a, b / 2, b / 4, int(random.integers(3, 64)), True),
            Manifold.sphere(a / 2, int(random.integers(12, 64))),
            Manifold.cube((a, b, float(random.uniform(0.3, 2))), True),
        )[kind]
        part = part.rotate(tuple(random.uniform(0, 360, 3)))
        part = part.translate(tuple(random.uniform(-12, 12, 3)))
        solid = solid + part if random.random() < 0.6 else solid - part
    return _mesh(solid)


def _mesh(solid: Any) -> TriangleMesh:
    mesh = solid.to_mesh64()
    return TriangleMesh(
        vertices=np.asarray(mesh.vert_properties)[:, :3] * 1e-3,
        triangles=np.asarray(mesh.tri_verts).astype(np.int64),
    )


if __name__ == "__main__":
    main()
