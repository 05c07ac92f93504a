"""Long work: how far it is, how long it takes, several in a row, reloads, stops; a mended mesh."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.browser.test_journeys import PLANNED
from tests.browser.workshop import over, server, window

SIZE = {"name": "ball.stl", "mimeType": "model/stl"}


def stl(triangles: Any, corners: Any) -> bytes:
    """Triangles as a binary STL file, in millimetres."""
    record = np.zeros(
        len(triangles), np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    )
    record["c"] = np.asarray(corners)[np.asarray(triangles)]
    return bytes(80) + len(triangles).to_bytes(4, "little") + record.tobytes()


def ball(segments: int) -> tuple[Any, Any]:
    """Triangles and corners of a ball of 40 mm."""
    from manifold3d import Manifold

    mesh = Manifold.sphere(20.0, segments).to_mesh()
    return np.asarray(mesh.tri_verts), np.asarray(mesh.vert_properties)[:, :3]


def handed_in(page: Any, address: str, file: bytes) -> str:
    """The page's part, from the form on."""
    page.goto(address + "parts")
    page.get_by_label("The part's file").set_input_files({**SIZE, "buffer": file})
    page.get_by_label("Unit of its numbers").select_option("mm")
    page.get_by_role("button", name="Examine it").click()
    page.wait_for_url("**/parts/part-*")
    return str(page.url.rsplit("/", 1)[1])


def sent(page: Any, address: str, file: bytes) -> str:
    """The same by the API, so that several follow at once."""
    form = {"file": {**SIZE, "buffer": file}, "unit": "mm"}
    return str(page.request.post(f"{address}api/v1/parts", multipart=form).json()["id"])


def test_several_in_a_row_and_the_pages_stay_awake(browser: Any, home: Path) -> None:
    file = stl(*ball(480))
    with server(home) as address, window(browser) as page:
        first = handed_in(page, address, file)
        assert page.get_by_text("No estimate yet").or_(page.get_by_text("Waiting.")).count() == 1
        page.get_by_text("Plan its plating").wait_for()
        second, third, last = (sent(page, address, file) for _ in range(3))
        page.goto(f"{address}parts/{last}")
        assert page.locator("progress").count() == 1
        page.get_by_text("orders come first").or_(
            page.get_by_text("1 order comes first")
        ).wait_for()
        page.reload()
        page.locator("progress").wait_for()
        page.get_by_role("button", name="Stop it").click()
        page.get_by_text("It was stopped").wait_for()
        page.goto(f"{address}parts/{second}")
        page.get_by_text("left.").wait_for()
        other = page.context.new_page()
        for path in ("shelf", "trouble", "baths/new"):
            other.goto(address + path, timeout=30_000)
        page.get_by_text("Plan its plating").wait_for()
        over(page, address, third)
        states = {
            one["id"]: one["state"] for one in page.request.get(f"{address}api/v1/work").json()
        }
        assert states == {first: "done", second: "done", third: "done", last: "cancelled"}


def test_work_goes_on_where_the_browser_is_shut_and_the_server_ends(
    browser: Any, home: Path
) -> None:
    with server(home) as address:
        with window(browser) as page:
            part = handed_in(page, address, stl(*ball(480)))
            port = int(address.rsplit(":", 1)[1].strip("/"))
    with server(home, port), window(browser, "phone") as page:
        page.goto(f"{address}parts/{part}")
        page.get_by_text("Plan its plating").wait_for()


def test_a_broken_mesh_is_mended_told_and_planned(browser: Any, bench: str) -> None:
    triangles, corners = ball(32)
    flipped = triangles.copy()
    flipped[:3] = flipped[:3, ::-1]
    with window(browser) as page:
        handed_in(page, bench, stl(flipped[:-2], corners))
        page.get_by_text("what was found and mended stands below").wait_for()
        page.get_by_role("heading", name="What was mended").wait_for()
        assert page.locator("h2:has-text('What was mended') + ul > li").count() >= 1
        area = page.get_by_role("row", name="Wet surface").get_by_role("cell").text_content()
        assert float(area.split()[0]) == pytest.approx(4 * np.pi * 2.0**2, rel=0.03)
        page.get_by_role("link", name="Plan its plating").click()
        page.get_by_role("button", name="Work the plan out").click()
        page.get_by_role("button", name="Stop it").click()
        page.get_by_text("It was stopped").wait_for(timeout=PLANNED)
