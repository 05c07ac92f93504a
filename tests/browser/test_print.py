"""Every page prints: nothing cut, nothing that only a finger can use, the part's picture too."""

import io
from typing import Any

import pytest
from pypdf import PdfReader

from tests.browser.workshop import drawn, window

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height [mm]."""
MARGIN = 14.0
"""Of the style sheet [mm]."""
POINT = 25.4 / 72.0
SHARES = 3
"""Into so many tests the pages are dealt out, so that several workers share them."""


@pytest.mark.parametrize("share", range(SHARES))
def test_every_page_fits_the_paper(browser: Any, furnished: dict[str, str], share: int) -> None:
    found = []
    with window(browser) as page:
        for name, address in list(furnished.items())[share::SHARES]:
            page.goto(address)
            first = page.locator("h1").inner_text().split()[0]
            for paper, (wide, high) in PAPERS.items():
                page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
                page.emulate_media(media="print")
                across = int((wide - 2 * MARGIN) / 25.4 * 96)
                page.set_viewport_size({"width": across, "height": 900})
                found += [f"{name}, {paper}: {fault}" for fault in page.evaluate(FAULTS)]
                page.emulate_media(media="screen")
                page.set_viewport_size({"width": 1280, "height": 900})
                sheets = PdfReader(io.BytesIO(page.pdf(format=paper))).pages
                size = [round(float(end) * POINT) for end in sheets[0].mediabox[2:]]
                assert size == [round(wide), round(high)]
                assert first in sheets[0].extract_text(), (name, paper)
    assert not found, "\n".join(found)


FAULTS = """() => {
  const found = [], shown = (one) => one.checkVisibility({ contentVisibilityAuto: true });
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) found.push(`wider than the paper: ${root.scrollWidth}`);
  for (const one of document.querySelectorAll("nav, button, a.button, input[type=file], .sticky"))
    if (shown(one)) found.push(`printed: ${one.outerHTML.slice(0, 80)}`);
  for (const one of document.querySelectorAll("details:not(.unprinted, .noted) > :not(summary)"))
    if (one.textContent.trim() && !one.closest(".unprinted, .noted, form, .row") && !shown(one))
      found.push(`shut: ${one.outerHTML.slice(0, 80)}`);
  for (const stage of document.querySelectorAll(".pv-stage"))
    if ([...stage.querySelectorAll("canvas")].filter(shown).length > 1)
      found.push("the picture is there twice");
  return found;
}"""


def test_the_part_is_on_the_paper_in_ink(browser: Any, furnished: dict[str, str]) -> None:
    for scheme in ("light", "dark"):
        with window(browser, "wide", scheme) as page:
            page.goto(furnished["plan"])
            drawn(page)
            sheets = PdfReader(io.BytesIO(page.pdf(format="A4"))).pages
            pictures = [picture.image for sheet in sheets for picture in sheet.images]
            coloured = [
                sum(count for count, _ in picture.convert("RGB").getcolors(2**24) or [])
                for picture in pictures
                if len(picture.convert("RGB").getcolors(2**24) or []) > 100
            ]
            assert max(coloured, default=0) > 10_000, "the part is drawn in many shades"
            page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
            page.emulate_media(media="print")
            style = "getComputedStyle(document.body)"
            assert page.evaluate(f"{style}.color") == "rgb(0, 0, 0)"
            assert page.evaluate(f"{style}.backgroundColor") == "rgb(255, 255, 255)"


def test_the_sheets_are_pdf(browser: Any, furnished: dict[str, str]) -> None:
    base = furnished["bench"]
    plan = furnished["plan"].rsplit("/", 1)[1]
    run = furnished["run"].rsplit("/", 1)[1]
    with window(browser) as page:
        for address in (
            f"work/{plan}/plan.pdf",
            f"runs/{run}/record.pdf",
            "trouble/record.pdf?seen=burnt-edges&go=1",
        ):
            answer = page.request.get(base + address)
            assert answer.headers["content-type"] == "application/pdf", address
            assert len(PdfReader(io.BytesIO(answer.body())).pages) >= 1
        form = {"family": "conventional", "volume": "10 L", "then": "print"}
        answer = page.request.post(base + "baths/new", form=form)
        assert "copper" in PdfReader(io.BytesIO(answer.body())).pages[0].extract_text().lower()
