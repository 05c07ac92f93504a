"""What a hand on the part waits for: first frame, a turn, the time's slider, hover, a cut.

Balls of some 50,000 and 100,000 triangles with three quantities at 13 moments each, as a coated
plan has them, are looked at in Chromium with software rendering, at the size of a laptop's page.
Every time is to the last pixel on the canvas (one pixel is read back). Needs the built bundle and a
browser: run `python3 dev.py screenshots` once before.

    python benchmarks/part_view.py
"""

import json
import os
import statistics
import struct
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.browser.workshop import chromium, server, window

SEGMENTS = {"50k": 320, "100k": 448}
MOMENTS = 13
QUANTITIES = (
    ("thickness", "Thickness", "um", "µm", 40.0, 160.0),
    ("current_density", "Current density", "A_dm2", "A/dm²", 0.2, 2.0),
    ("fraction_of_limit", "Share of the limit", "1", "", 0.0, 1.0),
)

FIRST_FRAME = """() => new Promise((told) => {
    const look = () => {
      const canvas = document.querySelector("part-view .pv-stage canvas");
      if (canvas === null) return requestAnimationFrame(look);
      canvas.addEventListener("drawn", () => told(performance.now()), { once: true });
    };
    look();
  })"""

FRAMES = """async ([kind, rounds]) => {
    const canvas = document.querySelector("part-view .pv-stage canvas");
    const gl = canvas.getContext("webgl2");
    const pixel = new Uint8Array(4);
    const time = document.querySelector(".pv-time input");
    const cut = document.querySelectorAll(".pv-bar input[type=range]")[0];
    const box = canvas.getBoundingClientRect();
    const moved = (input, value) => {
      input.value = String(value);
      input.dispatchEvent(new Event("input"));
    };
    const key = { key: "ArrowLeft" };
    const seen = { childList: true, characterData: true, subtree: true };
    const drawn = (act) => new Promise((done) => {
      canvas.addEventListener("drawn", () => {
        gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
        done();
      }, { once: true });
      act();
    });
    const told = (x, y) => new Promise((done) => {
      new MutationObserver((_, watcher) => { watcher.disconnect(); done(); })
        .observe(document.querySelector(".pv-tip"), seen);
      canvas.dispatchEvent(new PointerEvent("pointermove", {
        clientX: box.left + x, clientY: box.top + y, bubbles: true,
      }));
    });
    const acts = {
      turn: () => drawn(() => canvas.dispatchEvent(new KeyboardEvent("keydown", key))),
      slider: (n) => drawn(() => moved(time, n % 12)),
      cut: (n) => drawn(() => moved(cut, 0.3 + 0.02 * (n % 20))),
      hover: (n) => told(box.width / 2 + 7 * (n % 9), box.height / 2 + 5 * (n % 7)),
    };
    const times = [];
    for (let n = 0; n < rounds; n += 1) {
      const start = performance.now();
      await acts[kind](n);
      times.push(performance.now() - start);
    }
    if (kind === "cut") await drawn(() => moved(cut, 1));
    return times;
  }"""


def main() -> None:
    """Prints one line a measure."""
    print(f"{os.cpu_count()} processors, load at the start {os.getloadavg()[0]:.1f}")
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        with server(home) as address, chromium() as browser:
            part = _part(browser, address)
            for name, segments in SEGMENTS.items():
                view = next(home.rglob(f"{part}/made/view.bin"))
                view.write_bytes(_pack(segments))
                _measured(browser, f"{address}parts/{part}", name)


def _part(browser: Any, address: str) -> str:
    with window(browser) as page:
        page.goto(address)
        part = str(page.request.post(f"{address}api/v1/parts/example").json()["id"])
        while page.request.get(f"{address}api/v1/work/{part}").json()["state"] != "done":
            time.sleep(0.5)
        return part


def _measured(browser: Any, address: str, name: str) -> None:
    frames = []
    for _ in range(3):
        with window(browser) as page:
            page.goto(address, wait_until="commit")
            frames.append(page.evaluate(FIRST_FRAME))
    _told(f"{name}: first frame, nothing cached", frames)
    with window(browser) as page:
        page.goto(address)
        page.wait_for_selector("part-view canvas")
        page.wait_for_timeout(2000)
        for kind in ("turn", "slider", "hover", "cut"):
            page.evaluate(FRAMES, [kind, 3])  # shaders and caches are warm
            _told(f"{name}: {kind}", page.evaluate(FRAMES, [kind, 30]))


def _pack(segments: int) -> bytes:
    """The ball as a plan's view."""
    from manifold3d import Manifold

    mesh = Manifold.sphere(0.03, segments).to_mesh()
    vertices = np.asarray(mesh.vert_properties, "<f4")[:, :3]
    triangles = np.asarray(mesh.tri_verts, "<u4")
    middles = vertices[triangles].mean(axis=1)
    print(f"the ball has {len(triangles)} triangles")
    content = bytearray()

    def put(values: Any, kind: str) -> list[int]:
        place = [len(content), int(np.size(values))]
        content.extend(np.ascontiguousarray(values, kind).tobytes())
        content.extend(bytes(-len(content) % 4))
        return place

    share = (middles[:, 2] / 0.03 + 1) / 2
    body: dict[str, Any] = {"name": "part 1", "role": "part", "values": {}, "course": {}}
    body |= {"vertices_m": put(vertices, "<f4"), "triangles": put(triangles, "<u4")}
    legends = []
    for key, words, unit, shown, low, high in QUANTITIES:
        values = low + (high - low) * share
        body["values"][key] = put(values, "<f4")
        grown = np.linspace(0, 1, MOMENTS)[:, None] * values[None, :]
        step = float(grown.max()) / 65535
        body["course"][key] = {"span": put(np.rint(grown / step), "<u2"), "low": 0.0, "step": step}
        least, greatest = int(values.argmin()), int(values.argmax())
        legends.append(
            {
                "key": key, "words": words, "unit": unit, "shown_unit": shown, "low": low,
                "high": high, "ticks": [low, high], "values_above_high": False,
                "least": {"value": float(values[least]), "at_m": middles[least].tolist()},
                "greatest": {"value": float(values[greatest]), "at_m": middles[greatest].tolist()},
            }
        )  # fmt: skip
    header = {
        "bodies": [body], "quantities": legends, "colours": ["#100030", "#c06050", "#fff0a0"],
        "course": {"times_s": [3600.0 * n for n in range(MOMENTS)], "steady": False},
        "bare_below": 1.0, "burning_from": 0.98, "contacts": [],
    }  # fmt: skip
    text = json.dumps(header).encode()
    text += b" " * (-len(text) % 4)
    return b"TKV2" + struct.pack("<I", len(text)) + text + bytes(content)


def _told(what: str, values: list[float]) -> None:
    middle, best, most = statistics.median(values), min(values), max(values)
    print(f"{what}: {middle:.0f} ms (best {best:.0f}, most {most:.0f} of {len(values)})")


if __name__ == "__main__":
    main()
