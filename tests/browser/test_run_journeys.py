"""Runs in a real browser: against the simulated supply with a fault, by hand on a phone with the
network cut while a reading is typed, and what came out of one."""

import json
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.work import WorkKind
from tests.browser.workshop import server, window
from tests.unit.app.work.test_runs_by_hand import two_steps
from tests.unit.web.desk import IdleQueue


@pytest.fixture
def plan(home: Path) -> str:
    """A plan that is done, in the home folder of the server."""
    queue = IdleQueue(home / "work")
    work = queue.add(WorkKind.PLAN, "lantern finial", {}, options={"job": "job.toml"})
    queue.finish(work, b"{}")
    order = {**two_steps(), "title": "lantern finial", "cautions": ["Wear goggles."]}
    queue.folder.keep(work.id, {"run-order.json": json.dumps(order).encode()})
    return work.id


def begin_by_hand(page: Any, address: str, plan: str) -> None:
    """To where the part is in the bath."""
    page.goto(f"{address}plans/{plan}/run")
    page.get_by_label("I do, by hand").check()
    page.get_by_role("button", name="To the tank").click()
    page.get_by_role("button", name="The output is on").click()
    page.get_by_role("button", name="It is in the bath").click()
    page.wait_for_selector("text=Hold 0.5 A")


def told(page: Any, *, alarm: bool) -> None:
    """Waits until the page's title tells of an alarm, or no longer does."""
    for _ in range(600):
        if page.title().startswith("(!)") is alarm:
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"the title is {page.title()!r}")


def test_a_fault_on_the_simulated_supply(browser: Any, home: Path, plan: str) -> None:
    with server(home) as address, window(browser) as page:
        page.goto(f"{address}plans/{plan}/run")
        page.get_by_label("A simulated supply").check()
        page.get_by_text("A supply that was not found").click()
        page.get_by_label("A simulated run goes").select_option("600.0")
        page.get_by_label("And goes wrong").select_option("lost contact")
        page.get_by_role("button", name="To the tank").click()
        page.wait_for_selector("text=Wear goggles")
        page.get_by_role("button", name="Switch the output on").click()
        page.get_by_role("button", name="It is in the bath").click()
        page.get_by_role("button", name="Sound an alarm here").click()
        bell = page.get_by_role("button", name="Sound is on")
        assert bell.get_attribute("aria-pressed") == "true"
        page.wait_for_selector("#alarms [role=alert] >> text=A wire has come off")
        told(page, alarm=True)
        page.wait_for_selector("text=The output is off")
        page.get_by_role("button", name="I have seen it").click()
        told(page, alarm=False)
        page.get_by_role("button", name="It is out of the bath").click()
        page.wait_for_selector("text=hang it over the tank again")
        page.get_by_role("button", name="Give it up").click()
        page.wait_for_selector("text=Given up, and the output is off")
        assert page.complaints == []


def test_readings_typed_while_the_network_is_cut(browser: Any, home: Path, plan: str) -> None:
    with server(home) as address, window(browser, "phone") as page:
        begin_by_hand(page, address, plan)
        run = page.url.rsplit("/", 1)[1]
        page.context.set_offline(True)
        for volts, amps in (("0,11", "0,5"), ("0,12", "0,52")):
            page.get_by_label("Volts").fill(volts)
            page.get_by_label("Amps").fill(amps)
            page.get_by_role("button", name="Keep this reading").click()
        page.wait_for_selector("text=waiting: 2")
        page.wait_for_timeout(1500)
        page.context.set_offline(False)
        page.wait_for_selector("text=Taken in.")
        page.wait_for_selector("#now >> text=0.12 V")
        kept = page.request.get(f"{address}api/v1/runs/{run}").json()
        assert kept["readings"] == 2
        assert kept["current_A"] == 0.52
        page.get_by_label("Volts").fill("high")
        page.get_by_label("Amps").fill("0.5")
        page.get_by_role("button", name="Keep this reading").click()
        page.wait_for_selector("text=Not taken in:")
        assert page.get_by_label("Volts").input_value() == "high", "it is there to be mended"
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.evaluate("document.documentElement.clientWidth")
        expected = ("ERR_INTERNET_DISCONNECTED", "htmx:", "400 (Bad Request)")
        assert [one for one in page.complaints if not any(e in one for e in expected)] == []


def test_readings_wait_for_a_server_that_is_started_anew(
    browser: Any, home: Path, plan: str
) -> None:
    with window(browser, "phone") as page:
        with server(home) as address:
            begin_by_hand(page, address, plan)
            run, port = page.url, int(address.rsplit(":", 1)[1].strip("/"))
        page.get_by_label("Volts").fill("0,11")
        page.get_by_label("Amps").fill("0,5")
        page.get_by_role("button", name="Keep this reading").click()
        page.wait_for_selector("text=waiting: 1")
        with server(home, port):
            page.goto(run)
            page.wait_for_selector("#now >> text=0.11 V")


def test_what_came_out(browser: Any, home: Path, plan: str) -> None:
    rows = "\n".join(f"{60 * k},0.40,2.0" for k in range(61))
    log = {"name": "l.csv", "mimeType": "text/csv", "buffer": f"s_time,U_V,I_A\n{rows}".encode()}
    with server(home) as address, window(browser) as page:
        page.goto(f"{address}plans/{plan}/run")
        page.get_by_label("It is done already").check()
        page.get_by_role("button", name="To the tank").click()
        page.get_by_label("The file").set_input_files(log)
        page.get_by_role("button", name="Look at it").click()
        page.wait_for_selector("text=say when that was")
        page.get_by_label("When it began").fill("2026-03-01 18:30")
        page.get_by_role("button", name="Look again").click()
        page.get_by_role("button", name="Take it in").click()
        page.get_by_role("link", name="What came out").click()
        page.get_by_label("The part before, dry").fill("41,20 g")
        page.get_by_label("The part after, dry").fill("41,90 g")
        page.get_by_label("Place 1", exact=True).fill("rim")
        page.get_by_label("Copper at place 1").fill("130 µm")
        page.get_by_label("rough").check()
        page.get_by_role("button", name="Work it out").click()
        page.wait_for_selector(".note.bad >> text=charge")
        page.wait_for_selector("svg.bars")
        assert page.get_by_label("Place 1", exact=True).input_value() == "rim"
        page.get_by_role("button", name="Let later plans learn from it").click()
        page.wait_for_selector("text=Efficiency of an audited run")
        assert page.complaints == []
