"""What people do with the pages, in a real browser against a real server."""

import re
from pathlib import Path
from typing import Any

import pytest

from tests.browser.workshop import drawn, drawn_finely, server, window

PLANNED = 240_000
"""Longest that a plan may take on a busy machine [ms]."""


def take_the_example(page: Any, address: str) -> None:
    """From the bench to the examined example part."""
    page.goto(address + "parts")
    page.get_by_role("button", name="example").click()
    page.wait_for_selector("text=Plan its plating")


def test_from_the_first_start_to_a_plan_and_to_a_run_whose_contact_is_lost(
    browser: Any, home: Path
) -> None:
    with server(home) as address:
        with window(browser) as page:
            page.goto(address)
            page.get_by_role("button", name="Take the finial").click()
            page.get_by_role("link", name="Plan its plating").click()
            page.get_by_role("button", name="Work the plan out").click()
            page.wait_for_selector("text=Set the current to", timeout=PLANNED)
            looked_over(page)
            plan = page.url
            assert page.complaints == []
        with window(browser, "phone") as page:
            page.goto(plan)
            carried_out_until_its_contact_is_lost(page)
            assert page.complaints == []


def looked_over(page: Any) -> None:
    """A plan's picture says what its table says."""
    drawn(page)
    page.get_by_role("button", name="Thinnest place").click()
    tip = page.locator(".pv-tip").text_content()
    least = float(re.findall(r"Thickness ([\d.]+) µm", tip)[0])
    shown = page.get_by_role("row", name="Thinnest place").get_by_role("cell").first
    assert least == pytest.approx(float(shown.text_content().split()[0]), rel=0.01)
    page.locator(".pv-stage canvas").hover()
    page.wait_for_function(
        "() => document.querySelector('.pv-tip').textContent.startsWith('Thickness')"
    )


def carried_out_until_its_contact_is_lost(page: Any) -> None:
    """From the plan's page to the run given up."""
    page.get_by_role("link", name="Carry it out").click()
    page.get_by_label("A simulated supply").check()
    page.get_by_text("how a simulated run goes").click()
    page.get_by_label("A simulated run goes").select_option("600.0")
    page.get_by_label("And goes wrong").select_option("lost contact")
    page.get_by_role("button", name="To the tank").click()
    page.get_by_role("button", name="Switch the output on").click()
    page.get_by_role("button", name="It is in the bath").click()
    page.wait_for_selector("text=Alarms")
    page.wait_for_selector("text=The output is off")
    page.wait_for_selector("run-chart canvas")
    page.get_by_role("button", name="Give it up").click()
    page.wait_for_selector("text=Given up, and the output is off")


def test_quantities_are_checked_while_they_are_typed(browser: Any, example: str) -> None:
    with window(browser, "phone") as page:
        page.goto(example)
        page.get_by_role("link", name="Plan its plating").click()
        field = page.get_by_label("Copper thickness")
        field.fill("0,2 mm")
        page.wait_for_selector("text=Read as 200 µm")
        field.fill("200")
        page.wait_for_selector("#said-thickness .wrong")
        assert page.complaints == []


def test_answers_outlive_a_cut_network_and_a_new_server(browser: Any, home: Path) -> None:
    with window(browser, "phone") as page:
        with server(home) as address:
            take_the_example(page, address)
            page.get_by_role("link", name="Plan its plating").click()
            form, port = page.url, int(address.rsplit(":", 1)[1].strip("/"))
            page.context.set_offline(True)
            page.get_by_label("Copper thickness").fill("0,15 mm")
            page.get_by_label("Wires that hold it").select_option("1")
        page.context.set_offline(False)
        with server(home, port):
            page.goto(form)
            assert page.get_by_label("Copper thickness").input_value() == "0,15 mm"
            assert page.get_by_label("Wires that hold it").input_value() == "1"
            page.wait_for_selector("text=Read as 150 µm")


def test_a_broken_mesh_is_told_in_words(browser: Any, bench: str, tmp_path: Path) -> None:
    broken = tmp_path / "broken.stl"
    broken.write_text("solid broken\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\n")
    with window(browser) as page:
        page.goto(bench + "parts")
        page.get_by_label("The part's file").set_input_files(broken)
        page.get_by_role("button", name="Examine it").click()
        page.wait_for_selector("text=This cannot be worked with")
        assert "broken.stl" in page.locator(".note.bad").text_content()


def test_long_work_is_stopped(browser: Any, example: str) -> None:
    with window(browser) as page:
        page.goto(example)
        page.get_by_role("link", name="Plan its plating").click()
        page.get_by_role("button", name="Work the plan out").click()
        page.get_by_role("button", name="Stop it").click()
        page.wait_for_selector("text=It was stopped")


def test_the_part_turns_by_keys(browser: Any, example: str) -> None:
    with window(browser) as page:
        page.goto(example)
        drawn_finely(page)
        canvas = page.locator(".pv-stage canvas")
        before = canvas.screenshot()
        canvas.focus()
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("-")
        drawn_finely(page)
        assert canvas.screenshot() != before


@pytest.mark.parametrize("path", ["", "parts", "plans", "help", "share", "nowhere"])
def test_no_page_is_wider_than_a_phone(browser: Any, bench: str, path: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bench + path)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.evaluate("document.documentElement.clientWidth")
