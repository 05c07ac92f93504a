"""Every page as a picture, wide and on a phone, light and dark, into out/screenshots.

python -m tests.browser.pictures [FOLDER]
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.browser.workshop import WIDTHS, chromium, drawn_finely, server, window
from tests.faces.conftest import block_stl

ROOT = Path(__file__).parents[2]
Until = Callable[[dict[str, Any]], bool]
"""Whether a run, as the API tells it, stands as it was waited for."""


def main(folder: Path) -> None:
    """Plans the example once in a store of its own, then goes through all pages."""
    folder.mkdir(parents=True, exist_ok=True)
    with server(ROOT / "out" / "screenshots-home") as address, chromium() as browser:
        pages = pages_of(browser, address)
        for width in WIDTHS:
            for scheme in ("light", "dark"):
                with window(browser, width, scheme) as page:
                    for name, path in pages.items():
                        _taken(page, address + path, folder / f"{name}-{width}-{scheme}.png")
    sys.stdout.write(f"pictures are in {folder}\n")


def pages_of(browser: Any, address: str) -> dict[str, str]:
    """The pages by name, after an example part and its plan are there."""
    with window(browser) as page:
        page.goto(address)
        work = page.request.get(address + "api/v1/work").json()
        part = _done(page, address, "part", work) or _ordered(page, address, "api/v1/parts/example")
        plan = _done(page, address, "plan", work) or _ordered(
            page, address, f"api/v1/parts/{part}/plans", {"answers": {"turn_x": "180 deg"}}
        )
        run = page.request.post(
            f"{address}plans/{plan}/run", form={"supply": "simulated", "hurry": "600"}
        ).url.rsplit("/", 1)[1]
        _wished(page, address, run, "begin", until=lambda view: view["stage"] == "entry")
        _wished(page, address, run, "immersed", until=_under_way)
        _wished(page, address, run, "pause", until=_at_rest)
        bath = _bath(page, address)
        by_hand = _by_hand(page, address, plan)
        logged = _logged(page, address, plan)
        waiting = _begun(page, address, plan, "a logger")
        first = _first(page, address)
        rig, search = _searched(page, address, part)
        slower = _slower(page, address, plan)
    return {
        "bench": "",
        "shelf": "shelf",
        "baths": "baths",
        "bath-new": "baths/new",
        "bath": f"baths/{bath}",
        **_of_a_bath(f"baths/{bath}"),
        "labels": "labels?go=1&of=bottle+battery+acid",
        "safe": "safe?go=1&together1=ammonia&together2=bleach",
        "safe-answer": "safe?go=1&anode=copper+pipe&doing=mixing&handled1=sulfuric+acid",
        "settings": "settings",
        "parts": "parts",
        "part": f"parts/{part}",
        "plan-form": f"parts/{part}/plan",
        "rigs": "rigs",
        "rig": f"rigs/{rig}",
        "search-form": f"rigs/{rig}/search",
        "search": f"searches/{search}",
        "first": "first",
        "first-unit": f"first/{first}/unit",
        "first-tank": f"first/{first}/tank",
        "first-bath": f"first/{first}/bath",
        "first-check": f"first/{first}/check",
        "compare": f"plans/compare?plan={plan}&plan={slower}",
        "plans": "plans",
        "plan": f"plans/{plan}",
        "run-form": f"plans/{plan}/run",
        "runs": "runs",
        "run": f"runs/{run}",
        "run-by-hand": f"runs/{by_hand}",
        "run-log": f"runs/{waiting}/log",
        "audit": f"runs/{logged}/audit",
        "run-costs": f"runs/{logged}/costs",
        "costs": "costs",
        "shop": "shop",
        "trouble": "trouble?words=black+edges",
        "trouble-answer": "trouble?seen=burnt-edges&seen=powder&go=1",
        "trouble-learned": "trouble/learned",
        "panel": "trouble/panel?go=1&look0=burnt&from0=0&to0=1.2&look1=bright&from1=1.2&to1=7"
        "&panel_current=2+A",
        "help": "help",
        "share": "share",
        "missing": "nowhere",
    }


def _of_a_bath(bath: str) -> dict[str, str]:
    """What is asked of a bath, with answers."""
    week = "charge=20+Ah&area=9+dm^2&open=70+h&surface=6+dm^2&water=tap+water&weeks=52"
    rinses = "area=9+dm^2&copper=50+g/L&acid=58+g/L&still1=4+L&still2=4+L&parts=30"
    return {
        "bath-measure": f"{bath}/measure",
        "bath-titration": f"{bath}/measure/copper/plan",
        "bath-reading-form": f"{bath}/measure/acid",
        "bath-reading": f"{bath}/measure/copper?go=1&run1=16.05+mL&run2=15.95+mL&sample=2+mL",
        "bath-density": f"{bath}/measure/density?go=1&shown=1.16+g/mL&temperature=20+degC",
        "bath-fault": f"{bath}/measure/copper?go=1&run1=16.05&sample=2+mL",
        "bath-chloride": f"{bath}/measure/chloride",
        "bath-doses": f"{bath}/doses?go=1&panel=dull",
        "bath-forecast": f"{bath}/forecast?go=1&{week}&other_water=distilled+water",
        "bath-rinse": f"{bath}/rinse?go=1&{rinses}&evaporated=5+L",
        "bath-retire": f"{bath}/retire?go=1&vessel=60+L&removal=plate&plate_out=2+g/L",
    }


def _bath(page: Any, address: str) -> str:
    """A bath with some history, from the example's shelf."""
    api = address + "api/v1/"
    if held := page.request.get(api + "baths").json():
        return str(held[0]["id"])
    page.request.post(api + "shelf/example")
    was = {"volume": "18 ± 0.3 L", "copper": "52 ± 3 g/L", "sulfuric_acid": "58 ± 4 g/L",
           "chloride": "60 ± 12 mg/L", "at": "2026-01-12"}  # fmt: skip
    sent = {"name": "long tank", "answers": was}
    bath = str(page.request.post(api + "baths/take-over", data=sent).json()["id"])
    for kind, entries in (
        ("ampere-hours", {"charge": "31 Ah", "at": "2026-01-19"}),
        ("evaporation", {"level": "17.1 L", "at": "2026-02-02"}),
        ("top-up", {"water": "distilled water", "volume": "0.9 L", "at": "2026-02-03"}),
        ("drag-out", {"area": "12 dm^2", "parts": "14", "at": "2026-02-20"}),
        ("analysis", {"sulfuric_acid": "51 ± 2 g/L", "at": "2026-03-01"}),
    ):
        page.request.post(f"{api}baths/{bath}/ledger", data={"kind": kind, "entries": entries})
    return bath


def _under_way(view: dict[str, Any]) -> bool:
    return view["share"] > 0.25 or _at_rest(view)


def _at_rest(view: dict[str, Any]) -> bool:
    """On a machine that stood still meanwhile a run may have paused or ended by itself."""
    return view["stage"] in ("paused", "ended")


def _wished(page: Any, address: str, run: str, word: str, *, until: Until) -> None:
    """Tells a run what to do, and waits until it stands so."""
    page.request.post(f"{address}runs/{run}/wish", form={"word": word})
    for _ in range(600):
        view = page.request.get(f"{address}api/v1/runs/{run}").json()
        if until(view):
            return
        page.wait_for_timeout(200)
    raise AssertionError(f"{run} stands at {view['stage']}, {view['share']:.0%}")


def _begun(page: Any, address: str, plan: str, supply: str) -> str:
    made = page.request.post(f"{address}api/v1/plans/{plan}/runs", data={"supply": supply})
    return str(made.json()["id"])


def _by_hand(page: Any, address: str, plan: str) -> str:
    """A run by hand whose first reading looks wrong."""
    run = _begun(page, address, plan, "by hand")
    for word in ("begin", "immersed"):
        page.request.post(f"{address}api/v1/runs/{run}/wishes", data={"word": word})
    reading = {"voltage_V": 1.2, "current_A": 0.001}
    page.request.post(f"{address}api/v1/runs/{run}/readings", data={"readings": [reading]})
    return run


def _logged(page: Any, address: str, plan: str) -> str:
    """A run from a logger's file with its audit, costs, and a test of the shop."""
    run = _begun(page, address, plan, "a logger")
    rows = "\n".join(f"{60 * k},{0.4 + 0.01 * (k % 3)},1.0" for k in range(121))
    log = {"name": "l.csv", "mimeType": "text/csv", "buffer": f"s_time,U_V,I_A\n{rows}".encode()}
    place = f"{address}api/v1/runs/{run}"
    page.request.put(f"{place}/log", multipart={"file": log})
    page.request.post(f"{place}/log/take", data={"start": "2026-03-01 18:30"})
    points = [
        {"place": "rim", "thickness": "130 um", "planned": "120 um"},
        {"place": "foot", "thickness": "90 um", "planned": "110 um"},
    ]
    weights = {"before": "41.20 g", "after": "43.40 g", "scale": "0.01 g"}
    page.request.post(f"{place}/audits", data={**weights, "points": points})
    prices = {"copper": "12 EUR/kg", "electricity": "0.32 EUR/kWh", "work": "24 EUR/h"}
    page.request.put(f"{address}api/v1/prices", data=prices)
    page.request.put(f"{place}/costs", data={"hands_on": "30 min", "heater": "0.4 kWh"})
    strip = {"name": "strip", "resistance": "50 ohm", "length": "10 cm", "width": "10 mm"}
    page.request.post(f"{address}api/v1/shop/tests/strip", data=strip)
    return run


def _searched(page: Any, address: str, part: str) -> tuple[str, str]:
    """A rig of the part, and a short search from it."""
    rig = page.request.post(f"{address}parts/{part}/rig").url.rsplit("/", 1)[1]
    form = {"goal": "thinnest", "allow_pose": "on", "minutes": "0.3", "rigs": "2", "act": "search"}
    search = page.request.post(f"{address}rigs/{rig}/search", form=form).url.rsplit("/", 1)[1]
    return rig, _finished(page, address, search)


def _slower(page: Any, address: str, plan: str) -> str:
    """An alternative of the plan."""
    place = f"{address}api/v1/plans/{plan}/alternatives"
    offered = {one["kind"]: one for one in page.request.get(place).json()}
    if (known := offered["slower"])["state"] == "done":
        return str(known["work"])
    made = page.request.post(place, data={"kinds": ["slower"]}).json()
    return _finished(page, address, str(made[0]["id"]))


def _first(page: Any, address: str) -> str:
    """A file in the guide of a first plan, its unit not told."""
    sent = {"name": "block.stl", "mimeType": "model/stl", "buffer": block_stl()}
    part = page.request.post(f"{address}first", multipart={"file": sent}).url.rsplit("/", 1)[1]
    return _finished(page, address, part)


def _done(page: Any, address: str, kind: str, works: list[dict[str, Any]]) -> str:
    found = [w["id"] for w in works if w["kind"] == kind and w["state"] == "done"]
    return str(found[0]) if found else ""


def _ordered(page: Any, address: str, path: str, data: object = None) -> str:
    """Orders work and waits for it."""
    return _finished(page, address, page.request.post(address + path, data=data).json()["id"])


def _finished(page: Any, address: str, work: str) -> str:
    for _ in range(600):
        state = page.request.get(f"{address}api/v1/work/{work}").json()
        if state["state"] == "done":
            return work
        assert state["state"] in ("queued", "running"), state["error"]
        page.wait_for_timeout(500)
    raise AssertionError(f"{work} was not done")


def _taken(page: Any, url: str, path: Path) -> None:
    page.goto(url)
    if page.locator("part-view").count():
        drawn_finely(page)
    if page.locator("rig-view").count():
        page.wait_for_selector("rig-view canvas", timeout=30_000)
        page.wait_for_timeout(1500)  # until it is checked and drawn
    if page.locator("run-chart").count():
        page.wait_for_selector("run-chart canvas")
    page.screenshot(path=path, full_page=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "out" / "screenshots")
