"""What a person waits for at the workbench page: the server, a page, the part, a hand on it.

Begins with `benchmarks/serving.py`. Then it starts a server over a store of its own, hands in a
ball of some 50,000 triangles, and looks at it in Chromium with software rendering. Needs the built
bundle and a browser: run `python3 dev.py screenshots` once before. Bytes are those on the wire.

    python benchmarks/web.py
"""

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks import serving
from benchmarks.serving import told

from tests.browser.workshop import chromium, server, window

LOOKS = 5
SEGMENTS = 320  # of the ball's circle: about 50,000 triangles

FIRST_PAINT = """() => new Promise((told) => new PerformanceObserver((list) =>
    told(list.getEntries().at(-1).startTime)).observe({ type: "paint", buffered: true }))"""

FIRST_FRAME = """() => new Promise((told) => {
    const look = () => {
      const canvas = document.querySelector("part-view .pv-stage canvas");
      if (canvas === null) return requestAnimationFrame(look);
      canvas.addEventListener("drawn", () => told(performance.now()), { once: true });
    };
    look();
  })"""

TURNS = """async () => {
    const canvas = document.querySelector("part-view .pv-stage canvas");
    const pixel = new Uint8Array(4);
    const gl = canvas.getContext("webgl2");
    const times = [];
    for (let turn = 0; turn < 20; turn += 1) {
      const start = performance.now();
      await new Promise((done) => {
        canvas.addEventListener("drawn", () => {
          gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
          done();
        }, { once: true });
        canvas.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowLeft" }));
      });
      times.push(performance.now() - start);
    }
    return times;
  }"""


def main() -> None:
    """Prints one line a measure."""
    serving.main()
    with tempfile.TemporaryDirectory() as folder:
        with server(Path(folder) / "home") as address, chromium() as browser:
            part = _handed_in(browser, address)
            _pages(browser, address, {"bench": "", "parts": "parts", "form": f"parts/{part}/plan"})
            _view(browser, f"{address}parts/{part}")


def _handed_in(browser: Any, address: str) -> str:
    with window(browser) as page:
        page.goto(address)
        file = {"name": "ball.stl", "mimeType": "model/stl", "buffer": _ball()}
        sent = page.request.post(
            f"{address}api/v1/parts", multipart={"file": file, "unit": "mm"}
        ).json()
        while True:
            state = page.request.get(f"{address}api/v1/work/{sent['id']}").json()
            if state["state"] not in ("queued", "running"):
                assert state["state"] == "done", state["error"]
                return str(sent["id"])
            time.sleep(0.5)


def _ball() -> bytes:
    """A ball of 60 mm as a binary STL file."""
    from manifold3d import Manifold

    mesh = Manifold.sphere(30.0, SEGMENTS).to_mesh()
    corners = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)]
    record = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]))
    record["c"] = corners
    print(f"the ball has {len(corners)} triangles")
    return bytes(80) + len(corners).to_bytes(4, "little") + record.tobytes()


def _pages(browser: Any, address: str, paths: dict[str, str]) -> None:
    for name, path in paths.items():
        paints, sizes = [], []
        for _ in range(LOOKS):
            with window(browser) as page:
                wire = _wire(page)
                page.goto(address + path)
                paints.append(page.evaluate(FIRST_PAINT))
                sizes.append(sum(wire.values()) / 1000)
        told(f"{name}: first paint, nothing cached", paints, "ms")
        told(f"{name}: weight", sizes, "kB")


def _view(browser: Any, address: str) -> None:
    frames: list[float] = []
    for look in range(LOOKS):
        with window(browser) as page:
            wire = _wire(page)
            page.goto(address, wait_until="commit")
            frames.append(page.evaluate(FIRST_FRAME))
            if look == LOOKS - 1:
                turns = page.evaluate(TURNS)
                mesh = sum(size for url, size in wire.items() if url.endswith("view.bin")) / 1000
    told("part: first frame, nothing cached", frames, "ms")
    print(f"part: weight {sum(wire.values()) / 1000 - mesh:.0f} kB, and the mesh {mesh:.0f} kB")
    told("part: a turn, to the last pixel", turns, "ms")


def _wire(page: Any) -> dict[str, float]:
    """Bytes on the wire by address, filled while the page loads."""
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    asked: dict[str, str] = {}
    sizes: dict[str, float] = {}
    session.on(
        "Network.requestWillBeSent", lambda e: asked.update({e["requestId"]: e["request"]["url"]})
    )
    session.on(
        "Network.loadingFinished",
        lambda e: sizes.update({asked[e["requestId"]]: e["encodedDataLength"]}),
    )
    return sizes


if __name__ == "__main__":
    main()
