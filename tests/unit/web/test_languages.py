"""Every text of a page comes from the catalogue, and the catalogue holds every text."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from docs.words import CATALOGUE, TABLES, gathered, of_the_core
from lxml import html

from tankside.app.work import languages
from tankside.app.work.order_plans import add_plan
from tankside.app.work.work import Work
from tests.unit.web.desk import PART, IdleQueue, visitor
from tests.unit.web.replies import a_plan, slower
from tests.unit.web.test_pages import examined

ADDRESSES = (
    "/", "/parts", "/plans", "/help", "/share", "/settings", "/nowhere", "/shelf", "/baths",
    "/baths/new", "/first", "/plans/compare", "/runs", "/costs", "/shop", "/labels", "/safe",
)  # fmt: skip
BATH = {"name": "knob", "volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L",
        "sulfuric_acid": "60 ± 1 g/L"}  # fmt: skip
ASKED = ("measure", "measure/copper", "measure/acid", "measure/chloride", "measure/cloud",
         "measure/density", "measure/conductivity", "measure/pH", "forecast", "rinse")  # fmt: skip
"""What is asked of a bath, before anything is worked out: the core's sentences are English."""
SAID = "//text()[not(ancestor::code or ancestor::style or ancestor::option)]"
NAMES = re.compile(
    r"\b(?:Tankside|(?:knob|block|cube|job)(?:\.(?:stl|toml))?|English|xa)\b|/nowhere"
    r"|\[[a-z_]+(?: \d+)?\](?: [a-z_]+)*"
)
"""What reads the same in every language: the program, what was named and handed in, languages by
what they call themselves, and tables of files with their keys."""
SAME = {"pH", "mm", "cm", "in", "The surface is closed"}
EXAMPLES = {
    "mg/L",
    "degC",
    "deg",
    "um",
    "EUR/kg",
    "EUR/kWh",
    "EUR/m",
    "EUR/h",
    "/dm^",
    "mg",
    "ohm",
    "Ah",
}
"""Units and a currency's code, as the examples in empty fields have them."""
UNIT = re.compile(
    r"[\d.,]+\s?(?:kWh|µm|mm|cm|mL/L|g/mL|mL|L|mg|g|kg|cm²|dm²|m²|m|A/dm²|%|mV|V|mA|Ah|A|h|min|s|°C|mS/cm)(?!\w)"
)

HELD = re.compile(r"(['\"“]?(?:\{[^{}]*\}|%\(\w+\)s)['\"”]?|<[^<>]*>)")
"""What stands for a value, in quotes or not, and HTML."""
QUOTED = re.compile(r"(?<!\w)'[^']*'(?!\w)|\"[^\"]*\"|“[^”]*”")
"""What somebody typed, or is to type."""


@pytest.fixture
def bracketed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A language in which every text of the catalogue stands in brackets, but not what is put into
    it: `⟦at ⟧{place}⟦ it is thin⟧`."""
    with CATALOGUE.open("rb") as stream:
        known = read_po(stream)
    made = Catalog(locale="en_XA")
    for message in known:
        if not message.id:
            continue
        if isinstance(message.id, tuple):
            made.add(message.id, tuple(map(in_brackets, message.id)))
        else:
            made.add(message.id, in_brackets(message.id))
    folder = tmp_path / "locale"
    path = folder / "xa" / "LC_MESSAGES" / "tankside.mo"
    path.parent.mkdir(parents=True)
    with path.open("wb") as target:
        write_mo(target, made)
    monkeypatch.setattr(languages, "LOCALE", folder)
    return "xa"


def in_brackets(text: str) -> str:
    """Its own words in brackets; values, marks of HTML and space at the ends stay outside."""
    pieces = HELD.split(text)
    return "".join(
        one if k % 2 or not one.strip() else re.sub(r"\S.*\S|\S", r"⟦\g<0>⟧", one, flags=re.S)
        for k, one in enumerate(pieces)
    )


def test_the_catalogue_holds_every_text_of_the_pages() -> None:
    assert CATALOGUE.read_bytes() == gathered(), "run: python3 dev.py words"


def test_every_table_of_sentences_gives_some() -> None:
    files = {name for name, _, _ in of_the_core()}
    assert {f"src/tankside/{name}" for name in TABLES} <= files


def test_no_page_says_anything_outside_the_catalogue(tmp_path: Path, bracketed: str) -> None:
    queue = IdleQueue(tmp_path / "work")
    with visitor(queue) as browser:
        part = examined(queue)
        form = {"units": "metric", "mark": "point", "paper": "a4", "language": bracketed}
        assert browser.post("/settings", data=form).status_code == 200
        bath = browser.post("/baths", data=BATH).url.path
        first = browser.post("/first", files={"file": ("knob.stl", b"solid")}).url.path
        queue.finish(queue.all()[0], json.dumps(PART).encode())
        pair = "/plans/compare?" + "&".join(f"plan={one}" for one in two_plans(queue, part))
        bare = {
            address: found
            for address in (
                *ADDRESSES,
                f"/parts/{part.id}",
                f"/parts/{part.id}/plan",
                *(f"{bath}/{asked}" for asked in ASKED),
                *(f"{first}/{step}" for step in ("tank", "coat", "hang", "goal", "check")),
                pair,
            )
            if (found := list(bare_texts(browser.get(address).text)))
        }
        assert f'lang="{bracketed}"' in browser.get("/").text
        assert part.id in browser.get("/parts").text
    assert bare == {}


def two_plans(queue: IdleQueue, part: Work) -> list[str]:
    """Ids of two plans; what limits them is a sentence of the core's."""
    found = []
    for reply in (a_plan(limited_by=""), slower(limited_by="")):
        plan = add_plan(queue, part, {})
        queue.finish(plan, json.dumps(reply).encode())
        found.append(plan.id)
    return found


def bare_texts(page: str) -> Iterator[str]:
    """Texts of a page, read or spoken, with letters outside brackets."""
    tree: Any = html.fromstring(page.encode())
    texts = [
        text
        for text in tree.xpath(
            "//text()[not(ancestor::code or ancestor::style or ancestor::option"
            " or ancestor::*[@translate='no'])]"
        )
        if text.strip()
    ]
    texts += tree.xpath("//@aria-label | //@alt[. != ''] | //@title")
    rest, before = "\n".join(_inline(texts)), ""
    while rest != before:  # names stand in brackets inside sentences
        rest, before = re.sub(r"⟦[^⟦⟧]*⟧", "", rest), rest
    rest = re.sub(r"⟦[^⟦⟧]*\.\.\.", "", rest)  # cut off
    for line in rest.splitlines():
        left = UNIT.sub("", NAMES.sub("", QUOTED.sub("", line))).strip(" ·.,:()0123456789-")
        if re.search(r"[A-Za-z]{2}", left) and left not in SAME | EXAMPLES:
            yield left


def _inline(texts: list[str]) -> Iterator[str]:
    """Texts, with those between an opening bracket and its closing one as one."""
    held = ""
    for text in texts:
        held += text.replace("\n", " ")
        if held.count("⟦") == held.count("⟧"):
            yield held
            held = ""
    yield held


@pytest.mark.parametrize("language", ["../../etc", "EN", "e", "en-us"])
def test_a_language_is_a_code(tmp_path: Path, language: str) -> None:
    with visitor(IdleQueue(tmp_path / "work")) as browser:
        form = {"units": "US", "mark": "comma", "paper": "a4", "language": language}
        assert browser.post("/settings", data=form).status_code == 400
        assert browser.get("/api/v1/preferences").json()["units"] == "metric"
