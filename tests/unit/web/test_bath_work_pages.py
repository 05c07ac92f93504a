"""Forecast, analyses, additions, rinses, the end, labels and safety, from the pages."""

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tankside.web.access import Access, Role
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_core_words import METRIC, POINT, told

FORM = {"name": "old", "volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L",
        "sulfuric_acid": "20 ± 1 g/L", "chloride": "70 ± 5 mg/L"}  # fmt: skip
COPPER = {
    "go": "1",
    "run1": "16.05 mL",
    "run2": "15,95 mL",
    "sample": "2 mL",
    "titrant": "0.1 mol/L",
}
ATOMIC_WEIGHT_OF_COPPER = 63.546  # IUPAC, standard atomic weights 2021


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path / "work")) as client:
        yield client


@pytest.fixture
def bath(browser: Any) -> str:
    """The address of a bath low in acid, with the example's shelf."""
    browser.post("/shelf/example")
    return str(browser.post("/baths", data=FORM).url.path)


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_forecast_is_drawn_for_the_week_that_was_told(browser: Any, bath: str) -> None:
    week = {"go": "1", "charge": "20 Ah", "area": "9 dm^2", "open": "70 h", "surface": "6 dm^2",
            "water": "tap water", "other_water": "distilled water", "weeks": "52"}  # fmt: skip
    text = browser.get(f"{bath}/forecast", params=week).text
    assert text.count('class="history ahead"') == 4  # copper, acid, chloride, volume
    assert "is below its window already" in text  # the acid
    assert "with tap water" in text
    assert "with distilled water" in text
    assert 'value="20 Ah"' in text


def test_a_ledger_of_some_weeks_tells_its_own_week(browser: Any, bath: str) -> None:
    assert "history ahead" not in browser.get(f"{bath}/forecast").text
    address = browser.post("/baths", data={**FORM, "name": "older"}).url.path
    api = "/api/v1" + address
    for day, charge in (("01-12", "10 Ah"), ("02-02", "50 Ah")):
        note = {"kind": "ampere-hours", "entries": {"charge": charge, "at": f"2026-{day}"}}
        assert browser.post(f"{api}/ledger", json=note).status_code == 400  # before there was one
    note = {"kind": "ampere-hours", "entries": {"charge": "10 Ah"}}
    assert browser.post(f"{api}/ledger", json=note).status_code == 201
    assert "history ahead" not in browser.get(f"{address}/forecast").text  # younger than a week


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"charge": "20"}, "no unit"),
        ({"charge": "20 Ah", "weeks": "9999"}, "whole number from 1 to 520"),
        ({"charge": "20 Ah", "water": "holy water"}, "holy water"),
        ({"charge": "20 Ah", "humidity": "140 %"}, "not between 0 and 100"),
    ],
)
def test_a_week_that_cannot_be_is_told_at_its_field(
    browser: Any, bath: str, query: dict[str, str], said: str
) -> None:
    answer = browser.get(f"{bath}/forecast", params={"go": "1", **query})
    assert answer.status_code == 400
    place = answer.text.index('aria-invalid="true"')
    assert said in answer.text[place:].replace("&#39;", "'")


def test_a_titration_is_told_step_by_step_and_printed(browser: Any, bath: str) -> None:
    text = browser.get(f"{bath}/measure/copper/plan").text
    assert 'value="55 g/L"' in text  # the ledger knows about how much
    assert text.index("Goggles") < text.index("Put the readings in")
    assert "ammonia buffer" in text
    query = {"go": "1", "expected": "55 g/L", "pipette": "pipette 2 mL class B"}
    sheet = browser.get(f"{bath}/measure/copper/plan/sheet.pdf", params=query)
    assert "From the reading to the bath" in text_of(sheet.content)


def test_readings_are_worked_out_and_kept_only_when_asked(browser: Any, bath: str) -> None:
    text = browser.get(f"{bath}/measure/copper", params=COPPER).text
    by_hand = 16.00e-3 * 0.1 * ATOMIC_WEIGHT_OF_COPPER / 2e-3  # a mole of EDTA for one of copper
    (shown,) = re.findall(r'class="value">\s*([\d.]+) g/L', text)
    assert float(shown) == pytest.approx(by_hand, rel=0.005)
    assert "What it would do to the estimate" in text
    assert "analysis" not in browser.get(bath).text.split("Its ledger")[1]
    kept = browser.post(f"{bath}/measure/copper", data=COPPER)
    assert "Take it back" in kept.text
    assert "copper 50.8" in kept.text


def test_a_reading_that_fits_nothing_is_told_before_it_is_kept(browser: Any, bath: str) -> None:
    slip = {**COPPER, "sample": "1 mL", "sure": "yes"}
    assert "would be set aside" in browser.get(f"{bath}/measure/copper", params=slip).text


@pytest.mark.parametrize(
    ("way", "query", "key", "said"),
    [
        ("copper", {"run1": "16.05", "sample": "2 mL"}, "run1", "no unit"),
        ("copper", {"run1": "16.05 mL"}, "sample", "how much bath was in the flask"),
        ("copper", {"run1": "16.05 mL", "sample": "1 mL", "expected": "50 g/L"}, "", "expected"),
        ("copper", {"run1": "16 mL", "sample": "2 mL", "first": "pipette 5 mL class B"}, "flask",
         "both pipettes"),
        ("acid", {"run1": "6 mL", "sample": "5 mL"}, "copper", "fill this in"),
        ("density", {"shown": "1.16 g/mL"}, "temperature", "fill this in"),
        ("pH", {"shown": "3.1", "temperature": "22 degC", "buffer1": "4.01", "buffer2": "1.68",
                "buffer_shown1": "4.05"}, "buffer_shown2", "fill this in"),
        ("copper", {"run1": "16 mL", "sample": "2 mL", "titrant": "500 mol/L"}, "titrant",
         "mol/L"),
        ("copper", {**COPPER, "at": "2126-01-01"}, "at", "future"),
    ],
)  # fmt: skip
def test_readings_that_cannot_be_are_told_at_their_field(
    browser: Any, bath: str, way: str, query: dict[str, str], key: str, said: str
) -> None:
    for answer in (
        browser.get(f"{bath}/measure/{way}", params={"go": "1", **query}),
        browser.post(f"{bath}/measure/{way}", data=query),
    ):
        assert answer.status_code == 400
        text = answer.text.replace("&#39;", "'")
        place = text.index(f'id="said-{key}"') if key else text.index('class="note bad"')
        assert said in text[place : place + 400]
        assert "--" not in re.sub(r"<[^>]*>", "", text)  # no option of a command line


@pytest.mark.parametrize(
    ("way", "query", "said"),
    [
        ("acid", {"run1": "2.05 mL", "run2": "2.00 mL", "sample": "5 mL", "copper": "55 ± 1 g/L"},
         "Sulfuric acid"),
        ("cloud", {"standard1": "50 mg/L", "looks1": "cloudier", "standard2": "100 mg/L",
                   "looks2": "clearer"}, "Chloride"),
        ("density", {"shown": "1.160 g/mL", "temperature": "20 degC"}, "Pairs that weigh this"),
        ("conductivity", {"shown": "100 mS/cm", "temperature": "25 degC",
                          "full_scale": "1000 mS/cm", "standard_shown": "111 mS/cm"}, "S/m"),
        ("pH", {"shown": "3.1", "temperature": "22 degC", "buffer1": "4.01", "buffer2": "1.68",
                "buffer_shown1": "4.05", "buffer_shown2": "1.70"}, "pH"),
    ],
)  # fmt: skip
def test_every_way_to_measure_answers(
    browser: Any, bath: str, way: str, query: dict[str, str], said: str
) -> None:
    answer = browser.get(f"{bath}/measure/{way}", params={"go": "1", **query})
    assert answer.status_code == 200, answer.text
    assert said in answer.text
    assert "Keep it in the ledger" in answer.text


def test_a_dose_that_was_done_stands_in_the_ledger_and_can_be_taken_back(
    browser: Any, bath: str
) -> None:
    text = browser.get(f"{bath}/doses").text
    assert text.index("acid into water") < text.index("Note it as done")
    first = text.split('id="way1"')[1].split("</section>")[0]
    products = re.findall(r'name="product0" value="([^"]+)"', first)
    assert products == ["battery acid"]
    done = {"way": "way1", "product0": "battery acid", "amount0": "1,05 L"}
    after = browser.post(f"{bath}/doses/done", data=done).text
    assert "addition" in after.split("Its ledger")[0]
    ids = re.findall(r'name="of" value="([^"]+)"', after.split("Take it back")[0])
    assert len(ids) == 1
    before = browser.get(f"/api/v1{bath}").json()["bath"]["sulfuric_acid_kg_m3"]["best"]
    assert before > 30
    back = browser.post(f"{bath}/take-back", data={"of": ids}).text
    assert 'class="stocked gone"' in back
    assert browser.get(f"/api/v1{bath}").json()["bath"]["sulfuric_acid_kg_m3"]["best"] < 25


def test_a_dose_is_noted_whole_or_not_at_all(browser: Any, bath: str) -> None:
    before = browser.get(f"/api/v1{bath}/ledger").json()
    done = {"way": "way1", "product0": "battery acid", "amount0": "1 L",
            "product1": "blue crystals", "amount1": "120"}  # fmt: skip
    answer = browser.post(f"{bath}/doses/done", data=done)
    assert answer.status_code == 400
    assert "Blue crystals: " in answer.text
    assert "no unit" in answer.text
    assert 'value="1 L"' in answer.text
    empty = browser.post(f"{bath}/doses/done", data={"way": "way1", "amount0": " "})
    assert "at least one step" in empty.text
    assert browser.get(f"/api/v1{bath}/ledger").json() == before


def test_sheets_of_a_bath_are_in_the_units_and_on_the_paper_of_the_bench(
    browser: Any, bath: str
) -> None:
    rinse = {"area": "9 dm^2", "copper": "55 g/L", "acid": "20 g/L", "still1": "4 L"}
    addresses = {
        "doses/sheet.pdf": ({}, "battery acid"),
        "rinse/sheet.pdf": (rinse, "never down a drain"),
        "retire/sheet.pdf": ({}, "for those who may"),
        "retire/hand-over.pdf": ({"name": "long tank"}, "never for a drain"),
        "record.pdf": ({}, "Bath record"),
    }
    for address, (query, said) in addresses.items():
        sheet = browser.get(f"{bath}/{address}", params=query)
        assert sheet.status_code == 200, address
        assert said in text_of(sheet.content)
        assert PdfReader(io.BytesIO(sheet.content)).pages[0].mediabox.width == pytest.approx(595, 1)
    likes = {"units": "US", "mark": "point", "paper": "us-letter", "language": "en"}
    assert browser.post("/settings", data=likes).status_code == 200
    sheet = browser.get(f"{bath}/doses/sheet.pdf").content
    assert "oz/US gal" in text_of(sheet)  # what comes of it
    assert re.search(r"Add [\d.]+ mL of battery acid, by jug", text_of(sheet))  # as the jug reads
    assert PdfReader(io.BytesIO(sheet)).pages[0].mediabox.width == pytest.approx(612)


def test_answers_begin_in_the_readers_units_and_can_be_sent_back(browser: Any, bath: str) -> None:
    likes = {"units": "US", "mark": "comma", "paper": "a4", "language": "en"}
    browser.post("/settings", data=likes)
    text = browser.get(f"{bath}/measure/acid").text
    (copper,) = re.findall(r'id="copper" name="copper" value="([^"]+)"', text)
    assert copper.endswith("oz/US gal")
    assert "," in copper
    read = browser.get("/check/bath/acid", params={"copper": copper}).text
    assert "Read as 7,3" in read  # 55 g/L over 7.489 g/L in an ounce a US gallon
    copper = browser.get(f"{bath}/measure/copper").text
    assert '<option value="pocket scale 0.01 g" selected>' in copper  # a name is no number
    assert "25 mL burette of class B" in copper  # as it is printed on the glass
    plan = browser.get(f"{bath}/measure/copper/plan").text
    assert "US fl oz" not in plan  # a laboratory measures in millilitres everywhere
    assert '<details class="card" open>' not in copper
    doses = browser.get(f"{bath}/doses").text
    (amount,) = re.findall(r'id="way1-0" name="amount0" class="number" value="([^"]+)"', doses)
    done = {"product0": "battery acid", "amount0": amount, "way": "way1"}
    assert browser.post(f"{bath}/doses/done", data=done).status_code == 200


WEEK = {"go": "1", "charge": "20 Ah", "area": "9 dm^2", "open": "70 h", "surface": "6 dm^2",
        "water": "tap water", "hardness": "200 mg/L"}  # fmt: skip
RINSES = {"go": "1", "area": "9 dm^2", "copper": "50 g/L", "acid": "58 g/L", "still1": "4 L"}


@pytest.mark.parametrize(
    ("address", "query"),
    [
        ("", {}),
        ("/forecast", WEEK),
        ("/rinse", RINSES),
        ("/retire", {"go": "1", "removal": "plate", "plate_out": "2 g/L"}),
        ("/measure", {}),
    ],
)
def test_units_and_mark_of_the_reader_are_kept_to(
    browser: Any, bath: str, address: str, query: dict[str, str]
) -> None:
    page = told(browser.get(bath + address, params=query).text)
    assert address == "/measure" or (METRIC.search(page) and POINT.search(page))
    browser.post(
        "/settings", data={"units": "US", "mark": "point", "paper": "a4", "language": "en"}
    )
    page = told(browser.get(bath + address, params=query).text)
    assert METRIC.findall(page) == []
    likes = {"units": "metric", "mark": "comma", "paper": "a4", "language": "en"}
    browser.post("/settings", data=likes)
    assert POINT.findall(told(browser.get(bath + address, params=query).text)) == []


def test_rinses_tell_what_goes_out_and_where_it_may_not_go(browser: Any, bath: str) -> None:
    query = {"go": "1", "area": "9 dm^2", "copper": "50 g/L", "acid": "58 g/L", "still1": "4 L",
             "still2": "4 L", "parts": "30", "evaporated": "5 L"}  # fmt: skip
    text = browser.get(f"{bath}/rinse", params=query).text
    assert "thin enough for 55 parts" in text  # as docs/bath-guide.md has it
    assert text.index("never down a drain") < text.index("What goes out")


def test_the_end_begins_with_its_cautions_and_puts_the_bath_away(browser: Any, bath: str) -> None:
    text = browser.get(f"{bath}/retire").text
    assert text.index("Nothing of it goes down a drain") < text.index("What it holds")
    assert text.index("What it holds") < text.index("soda ash")
    foamy = browser.get(f"{bath}/retire", params={"go": "1", "vessel": "12 L"})
    assert foamy.status_code == 400
    assert "foam" in foamy.text
    plated = {"go": "1", "removal": "plate"}
    assert "down to what" in browser.get(f"{bath}/retire", params=plated).text
    away = browser.post(f"{bath}/away", data={"to": "the county's collection"}).text
    assert "Put away" in away
    assert bath not in browser.get("/").text
    told = browser.get(bath).text
    assert "put away; its ledger stays readable" in told
    assert "to the county&#39;s collection" in told
    browser.post(f"{bath}/in-use")
    assert f'hx-get="{bath}/due"' in browser.get("/").text


def test_a_label_of_bath_bottle_and_grade(browser: Any, bath: str) -> None:
    assert "choose" in browser.get("/labels").text
    acid = browser.get("/labels", params={"go": "1", "of": "bottle battery acid"}).text
    assert "H314" in acid  # causes severe skin burns and eye damage: CLP, sulfuric acid from 15 %
    sheet = browser.get("/labels/sheet.pdf", params={"of": "bath old", "name": "Tank 1"}).content
    assert "Tank 1" in text_of(sheet)
    assert "H410" in text_of(sheet) or "H411" in text_of(sheet)
    wrong = browser.get("/labels", params={"go": "1", "of": "bottle nectar"})
    assert wrong.status_code == 400
    assert "nectar" in wrong.text


@pytest.mark.parametrize(
    ("query", "status", "said"),
    [
        ({"together1": "ammonia", "together2": "bleach"}, 200, "chloramine"),
        ({"together1": "water", "together2": "copper sulfate pentahydrate"}, 200, "speaks against"),
        ({"pour": "water", "into": "sulfuric acid", "strength": "96 %"}, 200, "throws acid out"),
        ({"anode": "stainless steel"}, 200, "chromium(VI)"),
        ({"anode": "copper pipe", "base_metal": "graphite paint"}, 200, "with care"),
        ({"doing": "mixing", "handled1": "sulfuric acid", "handled_strength1": "96 %"}, 200,
         "Mind"),
        ({"together1": "ammonia"}, 400, "two substances"),
        ({"together1": "ammonia", "together2": "unobtainium"}, 400, "unobtainium"),
        ({"pour": "water"}, 400, "say both"),
        ({}, 400, "ask something"),
    ],
)  # fmt: skip
def test_what_is_asked_of_safety(
    browser: Any, query: dict[str, str], status: int, said: str
) -> None:
    answer = browser.get("/safe", params={"go": "1", **query})
    assert answer.status_code == status
    assert said.lower() in answer.text.lower()


@pytest.mark.parametrize(
    ("form", "key", "text", "said"),
    [
        ("forecast", "charge", "20 Ah", "Read as 20 Ah"),
        ("forecast", "charge", "20", "no unit"),
        ("copper", "run1", "0,40-17,75 mL", "Read as 17.4 mL"),
        ("copper", "run2", "", ""),
        ("acid", "copper", "52 ± 3 g/L", "Read as 52 g/L (49 g/L to 55 g/L)"),
        ("density", "copper", "52 g/L", "how sure"),
        ("rinse", "parts", "many", "whole number"),
        ("note-analysis", "copper", "52 g/L", "how sure"),
        ("rinse", "nothing", "x", "no field"),
        ("chloride", "pairs", "1.20 mL=231 mV\n1.30 mL 240 mV", "is no pair"),
    ],
)
def test_an_answer_is_checked_while_it_is_typed(
    browser: Any, form: str, key: str, text: str, said: str
) -> None:
    answer = browser.get(f"/check/bath/{form}", params={key: text})
    assert answer.status_code == 200
    assert said in answer.text


def checks_of(text: str) -> dict[str, tuple[str, str]]:
    """Where each field of a page asks how its answer reads, by its id, with its name."""
    found = {}
    for field in re.findall(r"<input[^>]*>", text):
        said = dict(re.findall(r'([\w-]+)="([^"]*)"', field))
        if said.get("hx-get", "").startswith("/check"):
            assert said["hx-target"] == f"#said-{said['id'].replace('.', '-')}"
            assert f'id="{said["hx-target"][1:]}"' in text
            found[said["id"]] = said["hx-get"], said["name"]
    return found


def test_what_was_done_and_when_is_checked_while_it_is_typed(browser: Any, bath: str) -> None:
    doses = checks_of(browser.get(f"{bath}/doses").text)
    for page, field in ((doses, "way1-0"), (doses, "way1-at"),
                        (checks_of(browser.get(bath).text), "carbon-at"),
                        (checks_of(browser.get("/trouble").text), "value.level_drop")):  # fmt: skip
        address, name = page[field]
        answer = browser.get(address, params={name: "plenty"})
        assert answer.status_code == 200
        assert 'class="wrong"' in answer.text


def test_who_may_only_look_keeps_and_notes_nothing(tmp_path: Path) -> None:
    access, queue = Access.shared(["bench.local"]), IdleQueue(tmp_path / "work")
    with visitor(queue, access, peer="192.168.1.9", host="bench.local") as phone:
        phone.get(f"/?key={access.keys[Role.OPERATE]}")
        phone.post("/shelf/example")
        bath = phone.post("/baths", data=FORM).url.path
        assert "Note it as done" in phone.get(f"{bath}/doses").text
        phone.get(f"/?key={access.keys[Role.LOOK]}")
        assert "Note it as done" not in phone.get(f"{bath}/doses").text
        looked = phone.get(f"{bath}/measure/copper", params=COPPER).text
        assert "What it would do to the estimate" in looked
        assert "Keep it in the ledger" not in looked
        for address in ("measure/copper", "doses/done", "away"):
            assert phone.post(f"{bath}/{address}", data=COPPER).status_code == 403


def test_what_is_not_there_is_said_to_be_not_there(browser: Any, bath: str) -> None:
    assert browser.get("/check/bath/nothing", params={"x": "1"}).status_code == 404
    assert browser.get(f"{bath}/measure/taste").status_code == 404
    assert browser.get(f"{bath}/measure/density/plan").status_code == 404
