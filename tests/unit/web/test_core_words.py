"""What the core says, on the pages: through the catalogue, in the reader's units, with the reader's
decimal mark. Parts, plans and runs are worked out by the core itself."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from lxml import html

from tankside.app.work.run_ways import BY_HAND
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_languages import bare_texts, bracketed
from tests.unit.web.worked import coated_plan, open_part

METRIC = re.compile(
    r"\d\s?(?:µm|mm|cm|m|mm²|cm²|dm²|m²|mL|L|mg|g|kg|°C|K|g/L|kg/m³|A/dm²|A/m²|A/mm²)(?![\w/²³])"
)
PAGES = ("part", "plan", "run")
POINT = re.compile(r"\d\.\d")
__all__ = ["bracketed"]


@pytest.fixture(scope="module")
def queue(tmp_path_factory: pytest.TempPathFactory) -> IdleQueue:
    return IdleQueue(tmp_path_factory.mktemp("home") / "work")


@pytest.fixture(scope="module")
def addresses(queue: IdleQueue) -> dict[str, str]:
    """Pages by what they show."""
    part, plan = open_part(queue).id, coated_plan(queue).id
    with visitor(queue) as browser:
        run = browser.post(f"/plans/{plan}/run", data={"supply": BY_HAND}).url.path
        for word in ("begin", "immersed"):
            assert browser.post(f"{run}/wish", data={"word": word}).status_code == 200
        meters = {"volts": "7,9", "amps": "0.05", "bath": "51 °C", "level": "35 mm"}
        assert browser.post(f"{run}/read", data=meters).status_code == 200
    return {"part": f"/parts/{part}", "plan": f"/plans/{plan}", "run": run}


@pytest.fixture
def reader(queue: IdleQueue) -> Iterator[Any]:
    """A browser whose preferences are put back afterwards."""
    with visitor(queue) as browser:
        yield browser
        (queue.folder.root.parent / "preferences.json").unlink(missing_ok=True)


def likes(browser: Any, **more: str) -> None:
    form = {"units": "metric", "mark": "point", "paper": "a4", "language": "en", **more}
    assert browser.post("/settings", data=form).status_code == 200


@pytest.mark.parametrize("name", PAGES)
def test_every_sentence_of_the_core_is_in_the_catalogue(
    reader: Any, addresses: dict[str, str], bracketed: str, name: str
) -> None:
    assert len(sentences(reader.get(addresses[name]).text)) > 3
    likes(reader, language=bracketed)
    assert list(bare_texts(reader.get(addresses[name]).text)) == [], name


@pytest.mark.parametrize("name", PAGES)
def test_in_us_units_no_metric_unit_is_left(
    reader: Any, addresses: dict[str, str], name: str
) -> None:
    assert METRIC.findall(told(reader.get(addresses[name]).text))
    likes(reader, units="US")
    assert METRIC.findall(told(reader.get(addresses[name]).text)) == []


@pytest.mark.parametrize("name", PAGES)
def test_with_a_decimal_comma_no_decimal_point_is_left(
    reader: Any, addresses: dict[str, str], name: str
) -> None:
    assert POINT.findall(told(reader.get(addresses[name]).text))
    likes(reader, mark="comma")
    assert POINT.findall(told(reader.get(addresses[name]).text)) == []


def told(page: str) -> str:
    """What a page says, without what has no language, and without the program's version."""
    tree: Any = html.fromstring(page.encode())
    texts = tree.xpath("//main//text()[not(ancestor::code or ancestor::*[@translate='no'])]")
    return re.sub(r"Tankside [\d.]+", "", "\n".join(texts))


def sentences(page: str) -> list[str]:
    tree: Any = html.fromstring(page.encode())
    return [str(one.text_content()) for one in tree.xpath("//main//li")]
