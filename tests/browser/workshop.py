"""A real server on a free port, and a real browser that reaches nothing but it.

Chromium is Debian's; TANKSIDE_CHROMIUM names another.
"""

import os
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

CHROMIUM = os.environ.get("TANKSIDE_CHROMIUM", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]
AXE = Path(__file__).parents[2] / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
LONGEST_MS = 120_000
"""That a busy machine may take to do what is waited for."""
WIDTHS = {"wide": (1280, 900), "phone": (390, 844)}


@contextmanager
def server(home: Path, port: int = 0, *options: str) -> Iterator[str]:
    """The address of `tankside serve` over a folder of data."""
    with serving(home, port, *options) as (address, _):
        yield address


@contextmanager
def serving(
    home: Path, port: int = 0, *options: str, environment: Mapping[str, str] = os.environ
) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The same, with its process."""
    where = ["--port", str(port), "--home", str(home)]
    process = subprocess.Popen(
        [sys.executable, "-m", "tankside", "serve", *where, *options],
        stdout=subprocess.PIPE,
        text=True,
        env={**environment, "NUMBA_NUM_THREADS": "1"},
    )
    try:
        assert process.stdout is not None
        found = re.search(r"http://\S+", process.stdout.readline())
        assert found is not None, "the server told no address"
        yield found[0], process
    finally:
        process.terminate()
        process.wait(timeout=60)
        if process.stdout is not None:
            process.stdout.close()


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, headless=True, args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def window(
    browser: Any, width: str = "wide", scheme: str = "light", *, host: str = "", **more: Any
) -> Iterator[Any]:
    """A window of its own; at its end it must have asked no machine but this one, by loopback or by
    its name `host`."""
    across, down = WIDTHS[width]
    context = browser.new_context(
        viewport={"width": across, "height": down},
        color_scheme=scheme,
        is_mobile=width == "phone",
        has_touch=width == "phone",
        **more,
    )
    context.set_default_timeout(LONGEST_MS)
    page = context.new_page()
    asked: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.complaints = complaints
    try:
        yield page
    finally:
        context.close()
    strangers = [url for url in asked if not _own(url, host)]
    assert not strangers, f"other machines were asked: {strangers}"


def _own(url: str, host: str) -> bool:
    parts = urlsplit(url)
    here = {"127.0.0.1", "localhost", host} - {""}
    return parts.scheme in ("data", "blob", "about") or parts.hostname in here


def drawn(page: Any) -> None:
    """Waits until the part is on the screen, if coarsely."""
    page.wait_for_function(DRAWN, arg=["quickly", "finely"])


def drawn_finely(page: Any) -> None:
    """Waits until all parts of the page are on the screen as they stay while nothing moves."""
    page.wait_for_function(DRAWN, arg=["finely"])


DRAWN = """(fit) => {
  const views = [...document.querySelectorAll("part-view")];
  const stages = views.map((view) => view.querySelector(".pv-stage canvas"));
  return views.length > 0 && stages.every((canvas) => fit.includes(canvas?.dataset.drawn));
}"""


def faults_of(page: Any, scheme: str) -> list[str]:
    """What axe-core finds on the page, shown light or dark: the rule, and where."""
    page.emulate_media(color_scheme=scheme)
    page.evaluate(AXE.read_text("utf-8"))
    result = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    return [
        f"{page.url}, {scheme}: {fault['id']}: "
        f"{[node['html'][:120] for node in fault['nodes'][:3]]}"
        for fault in result["violations"]
    ]


def wider_than_its_screen(page: Any) -> bool:
    """Whether the page has to be pushed sideways."""
    across = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
    return bool(page.evaluate(across))


def over(page: Any, address: str, work: str, seconds: float = 240.0) -> None:
    """Waits until work is done, by the API."""
    for _ in range(int(2 * seconds)):
        state = page.request.get(f"{address}api/v1/work/{work}").json()
        if state["state"] == "done":
            return
        assert state["state"] in ("queued", "running"), state["error"]
        page.wait_for_timeout(500)
    raise AssertionError(f"{work} was not done")
