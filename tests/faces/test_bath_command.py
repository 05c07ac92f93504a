"""The bath on the command line: bad input gets one sentence, good input an answer to work by."""

import json
import re
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from tankside.app.bath.example_bath import example_files
from tankside.cli.bath.options import ACTIONS
from tankside.cli.bath_command import MODULES
from tankside.main import run

MADE = "2024-01-08 18:00"


@pytest.fixture
def workshop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with bath.toml and shelf.toml, the working directory."""
    for name, content in example_files().items():
        (tmp_path / name).write_bytes(content)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The ledger that the make-up of bath.toml begins."""
    folder = tmp_path_factory.mktemp("begun")
    (folder / "bath.toml").write_bytes(example_files()["bath.toml"])
    line = ["make", str(folder / "bath.toml"), "--note", str(folder / "bath.jsonl"), "--at", MADE]
    assert run(["bath", *line]) == 0
    return (folder / "bath.jsonl").read_bytes()


@pytest.fixture
def ledger(workshop: Path, begun: bytes) -> Path:
    """bath.jsonl, begun with the make-up of bath.toml."""
    (workshop / "bath.jsonl").write_bytes(begun)
    return workshop / "bath.jsonl"


@dataclass(frozen=True)
class Bad:
    """A command line, the exit status and what the sentence must hold; `old` is replaced by `new`
    in `file` first."""

    id: str
    line: tuple[str, ...]
    status: int
    says: tuple[str, ...]
    old: str = ""
    new: str = ""
    file: str = "bath.toml"


MAKE = ("make", "bath.toml")
NOTE = ("note", "bath.jsonl")
DOSE = ("dose", "bath.jsonl", "shelf.toml")
COPPER = ("titrate", "copper", "16.00 mL", "15.95 mL", "--sample", "2 mL")
ACID = ("titrate", "acid", "6.1 mL", "6.1 mL", "--sample", "5 mL", "--copper", "51 ± 2 g/L")
RETIRE = ("retire", "--volume", "10 L", "--copper", "50 g/L", "--acid", "60 g/L")
RINSE = ("rinse", "--area", "9 dm^2", "--copper", "51 g/L", "--acid", "60 g/L")
LABEL = ("shelf", "--label", "name=mine")
FORECAST = ("forecast", "bath.jsonl", "--per-week")
METER = ("conductivity", "250 mS/cm", "--temperature", "22 degC", "--standard-shown", "111 mS/cm")

TABLE = [
    # files
    Bad("no file", ("make", "gone.toml"), 2, ("gone.toml",)),
    Bad("a folder", ("make", "."), 2, ()),
    Bad("not toml", MAKE, 2, ("bath.toml", "TOML"), "[target]", "[target"),
    Bad("unknown table", MAKE, 2, ("vesel", "'vessel'"), "[vessel]", "[vesel]"),
    Bad("double brackets", MAKE, 2, ("vessel", "single brackets"), "[vessel]", "[[vessel]]"),
    Bad("no vessel", MAKE, 2, ("[vessel]", "missing"), '[vessel]\nmaterial = "polypropylene"\ndiameter = "28 cm"\nheight = "30 cm"\nopen = "100 %"\n', ""),
    Bad("no file of a ledger", ("state", "gone.jsonl"), 2, ("empty or not there",)),
    # quantities
    Bad("no unit", MAKE, 2, ("volume", "no unit"), 'volume = "10 L"', 'volume = "10"'),
    Bad("bare number", MAKE, 2, ("volume", "quotes"), 'volume = "10 L"', "volume = 10"),
    Bad("wrong kind", MAKE, 2, ("volume", "a volume"), 'volume = "10 L"', 'volume = "10 kg"'),
    Bad("negative volume", MAKE, 2, ("above zero",), 'volume = "10 L"', 'volume = "-10 L"'),
    Bad("gallons", (*MAKE, "--volume", "3 gallons"), 2, ("--volume", "us_gallon", "imperial_gallon")),
    Bad("cups", (*NOTE, "top-up", "water=tap water", "volume=2 cups"), 2, ("cup", "us_cup")),
    Bad("thousands", (*MAKE, "--volume", "10,000 mL"), 2, ("comma",)),
    Bad("nonsense unit", (*MAKE, "--volume", "10 wibble"), 2, ("wibble",)),
    Bad("nan", (*MAKE, "--volume", "nan L"), 2, ("nan L",)),
    Bad("infinite", (*MAKE, "--volume", "1e999 L"), 2, ("1e999",)),
    Bad("a thimble", (*MAKE, "--volume", "2 mL"), 2, ("did you mean 2 L",)),
    Bad("percent in a bath", MAKE, 2, ("sulfuric_acid", "%"), '"60 g/L"', '"6 %"'),
    Bad("range backwards", MAKE, 2, ("backwards",), '"60 g/L"', '"70-50 g/L"'),
    Bad("one end only", MAKE, 2, ("both",), '"60 g/L"', '"min 50 g/L"'),
    Bad("negative acid", MAKE, 2, ("less than nothing",), '"60 g/L"', '"-60 g/L"'),
    Bad("zero division", MAKE, 2, ("division", "above zero"), 'division = "1 g"', 'division = "0 g"'),
    Bad("division is a length", MAKE, 2, ("division",), 'division = "1 g"', 'division = "1 cm"'),
    # targets
    Bad("unknown family", MAKE, 2, ("conventionl", "'conventional'"), 'family = "conventional"', 'family = "conventionl"'),
    Bad("unknown quantity", MAKE, 2, ("sulphuric_acid", "'sulfuric_acid'"), "sulfuric_acid =", "sulphuric_acid ="),
    Bad("salt without its water", MAKE, 2, ("copper_sulfate",), "copper_sulfate_pentahydrate =", "copper_sulfate ="),
    Bad("thousandfold chloride", MAKE, 2, ("mg/L",), '"70 mg/L"', '"70 g/L"'),
    Bad("beyond solubility", MAKE, 3, ("dissolve",), '"200 g/L"', '"330 g/L"'),
    Bad("beyond any bath", MAKE, 2, ("any bath",), '"200 g/L"', '"600 g/L"'),
    Bad("acid beyond any bath", MAKE, 2, ("acid",), '"60 g/L"', '"1900 g/L"'),
    Bad("more than the vessel", (*MAKE, "--volume", "30 L"), 3, ("vessel",)),
    Bad("stainless vessel", MAKE, 3, ("stainless",), '"polypropylene"', '"stainless steel"'),
    Bad("unknown vessel", MAKE, 2, ("polypropilene", "'polypropylene'"), '"polypropylene"', '"polypropilene"'),
    Bad("not enough acid", MAKE, 3, ("acid",), 'stock = "4.5 L"', 'stock = "100 mL"'),
    Bad("order: acid first", MAKE, 3, ("water",), 'coldest = "12 degC"', 'coldest = "12 degC"\norder = ["battery acid", "distilled water"]'),
    Bad("unknown preference", MAKE, 2, ("prefer", "cheapest"), 'coldest = "12 degC"', 'prefer = "best"'),
    # labels
    Bad("strength of 120 %", MAKE, 2, ("120", "impossible"), '"36-38 %"', '"120 %"'),
    Bad("negative strength", MAKE, 2, ("impossible",), '"36-38 %"', '"-5 %"'),
    Bad("strength against density", MAKE, 2, ("contradicts itself",), '"1.28 g/mL"', '"1.84 g/mL"'),
    Bad("unknown grade", MAKE, 2, ("distiled water", "'distilled water'"), 'grade = "distilled water"', 'grade = "distiled water"'),
    Bad("unknown substance", MAKE, 2, ("sulphurick", "sulfuric"), 'substance = "sulfuric acid"', 'substance = "sulphurick acid"'),
    Bad("unknown label entry", MAKE, 2, ("strenght", "'strength'"), "strength =", "strenght ="),
    Bad("unknown tool", DOSE, 2, ("10 mL siringe", "'10 mL syringe'"), 'measured_with = "10 mL syringe"', 'measured_with = "10 mL siringe"', "shelf.toml"),
    Bad("price without currency", MAKE, 2, ("price",), '"19.50 EUR"', '"19.50"'),
    Bad("two names alike", MAKE, 2, ("twice",), 'name = "muriatic acid"', 'name = "battery acid"'),
    Bad("percent by volume", (*LABEL, "substance=sulfuric acid", "strength=37 % v/v"), 2, ("volume",)),
    Bad("label without content", LABEL, 2, ("what is in it",)),
    Bad("label key twice", (*LABEL, "name=other"), 2, ("twice",)),
    Bad("grade asked for", ("shelf", "--grade", "batery acid"), 2, ("batery acid", "battery acid")),
    Bad("baume scales", (*LABEL, "substance=sulfuric acid", "density=32 Be"), 2, ("US", "rational")),
    # the ledger
    Bad("unknown event", (*NOTE, "topup", "volume=1 L"), 2, ("topup", "'top-up'")),
    Bad("unknown key", (*NOTE, "top-up", "watr=tap water", "volume=1 L"), 2, ("watr", "'water'")),
    Bad("no key at all", (*NOTE, "top-up", "1 L"), 2, ("KEY=VALUE",)),
    Bad("nothing said", (*NOTE, "top-up"), 2, ("top-up water=",)),
    Bad("key twice", (*NOTE, "withdrawal", "volume=1 L", "volume=2 L"), 2, ("twice",)),
    Bad("unknown product", (*NOTE, "addition", "product=blue cristals", "amount=100 g"), 2, ("blue cristals", "'blue crystals'")),
    Bad("mass of nothing", (*NOTE, "addition", "product=blue crystals", "amount=0 g"), 2, ("nothing",)),
    Bad("volume of crystals", (*NOTE, "addition", "product=blue crystals", "amount=100 mL"), 2, ("weigh it",)),
    Bad("in the future", (*NOTE, "carbon", "at=2999-01-01"), 2, ("future",)),
    Bad("no date", (*NOTE, "carbon", "at=tuesday"), 2, ("tuesday", "date")),
    Bad("before the bath", (*NOTE, "ampere-hours", "charge=5 Ah", "at=2023-01-01"), 2, ()),
    Bad("more out than in", (*NOTE, "withdrawal", "volume=30 L"), 2, ()),
    Bad("id taken", (*NOTE, "carbon", "id=make-up-2024-01-08"), 2, ("make-up-2024-01-08",)),
    Bad("retraction of nothing", (*NOTE, "retraction", "of=carbon-2020"), 2, ("carbon-2020",)),
    Bad("analysis without doubt", (*NOTE, "analysis", "copper=51 g/L"), 2, ("how sure", "±")),
    Bad("density without temperature", (*NOTE, "analysis", "density=1.16 ± 0.002 g/mL"), 2, ("temperature",)),
    Bad("ledger begun twice", (*MAKE, "--note", "bath.jsonl"), 2, ("begun already",)),
    Bad("unknown windows", ("state", "bath.jsonl", "--family", "high throw"), 2, ("'high-throw'",)),
    Bad("weak-acid windows", ("state", "bath.jsonl", "--family", "citrate"), 2, ("weak-acid",)),
    Bad("state before the end", ("state", "bath.jsonl", "--at", "2024-01-01"), 2, ("later",)),
    Bad("week of 200 hours", (*FORECAST, "open=200 h", "surface=6 dm^2"), 2, ("168 hours",)),
    Bad("unknown water", (*FORECAST, "charge=5 Ah", "water=tapp"), 2, ("tapp", "'tap water'")),
    Bad("water that is acid", (*FORECAST, "charge=5 Ah", "water=battery acid"), 2, ("battery acid",)),
    Bad("no weeks", (*FORECAST, "charge=5 Ah", "--weeks", "0"), 2, ("1 to",)),
    Bad("hardness in degrees", (*FORECAST, "charge=5 Ah", "--hardness", "14 dH"), 2, ("14 dH",)),
    Bad("humid beyond all", (*FORECAST, "charge=5 Ah", "humidity=130 %"), 2, ("more than all",)),
    Bad("certainty asked for", (*DOSE, "--probability", "100 %"), 2, ("probability",)),
    Bad("tank of nothing", (*DOSE, "--capacity", "0 L"), 2, ("above zero",)),
    Bad("unknown panel", (*DOSE, "--panel", "shiny"), 2, ("bright", "dull", "overdosed")),
    # analysis
    Bad("unknown titration", ("titrate", "coper", "1 mL"), 2, ("coper", "'copper'")),
    Bad("unknown method", (*COPPER, "--method", "edat"), 2, ("edat", "'edta'")),
    Bad("no reading", ("titrate", "copper", "--sample", "2 mL"), 2, ("no readings",)),
    Bad("no sample", ("titrate", "copper", "16 mL"), 2, ("--sample",)),
    Bad("burette backwards", ("titrate", "copper", "17-16 mL", "--sample", "2 mL"), 2, ("backwards",)),
    Bad("beyond the burette", ("titrate", "copper", "31 mL", "--sample", "2 mL"), 2, ("beyond the end",)),
    Bad("unknown burette", (*COPPER, "--burette", "burette 25 mL"), 2, ("burette 25 mL class",)),
    Bad("a pipette as burette", (*COPPER, "--burette", "pipette 25 mL class A"), 2, ("burette",)),
    Bad("too much bath", ("titrate", "copper", "16 mL", "--sample", "20 mL"), 2, ("too much",)),
    Bad("ten times too much", (*COPPER, "--expect", "5 g/L"), 2, ("decimal point",)),
    Bad("salt for copper", (*COPPER, "--expect", "200 g/L"), 2, ("pentahydrate",)),
    Bad("negative titrant", (*COPPER, "--titrant", "-0.1 mol/L"), 2, ("--titrant", "above zero")),
    Bad("titrant in grams", (*COPPER, "--titrant", "37 g/L"), 2, ("mol/L",)),
    Bad("titrant of 20 mol/L", (*COPPER, "--titrant", "20 mol/L"), 2, ("--titrant", "10 mol/L")),
    Bad("acid without copper", ("titrate", "acid", "6.1 mL", "--sample", "5 mL"), 2, ("--copper",)),
    Bad("phenolphthalein", (*ACID, "--indicator", "phenolphthalein"), 2, ("hydroxide",)),
    Bad("few millivolts", ("titrate", "chloride", "1 mL=200 mV", "--sample", "20 mL"), 2, ("too few",)),
    Bad("curve without volts", ("titrate", "chloride", "1 mL", "--sample", "20 mL"), 2, ("pair",)),
    Bad("clouds that contradict", ("titrate", "chloride", "--cloud", "50 mg/L=clearer", "--cloud", "100 mg/L=cloudier"), 2, ("cloudier",)),
    Bad("plan without a guess", ("titrate", "copper", "--plan"), 2, ("--expect",)),
    Bad("plan that no glass suits", ("titrate", "copper", "--plan", "--expect", "50 g/L", "--titrant", "5 mol/L", "--pipette", "pipette 1 mL class B"), 3, ("mol/L",)),
    Bad("a gas's density", ("density", "1.16 kg/m3", "--temperature", "21 degC"), 2, ("1160",)),
    Bad("gravity as density", ("density", "1160", "--scale", "specific-gravity", "--temperature", "21 degC"), 2, ("1.160",)),
    Bad("lighter than water", ("density", "0.9 g/mL", "--temperature", "21 degC"), 2, ("no copper bath",)),
    Bad("density without temperature typed", ("density", "1.16 g/mL"), 2, ("--temperature",)),
    Bad("sure copper", ("density", "1.16 g/mL", "--temperature", "21 degC", "--copper", "51 g/L"), 2, ("how sure",)),
    Bad("one buffer", ("ph", "2.6", "--buffer", "4.01=4.05", "--temperature", "22 degC"), 2, ("buffers",)),
    Bad("worn electrode", ("ph", "2.6", "--buffer", "4=4", "--buffer", "7=5.5", "--temperature", "22 degC"), 2, ("slope",)),
    Bad("pH of a strong acid", ("ph", "0.4", "--buffer", "4=4.05", "--buffer", "7=7.02", "--temperature", "22 degC"), 2, ("titrate",)),
    Bad("over the scale", (*METER, "--full-scale", "200 mS/cm"), 2, ("end of this meter",)),
    Bad("microsiemens", ("conductivity", "250 mS/cm", "--temperature", "22 degC", "--standard-shown", "111 uS/cm", "--full-scale", "500 mS/cm"), 2, ("µS/cm",)),
    # the end
    Bad("retire without acid", ("retire", "--volume", "10 L", "--copper", "50 g/L"), 2, ("acid",)),
    Bad("unknown base", (*RETIRE, "--base", "soda"), 2, ("soda", "soda-ash")),
    Bad("foams over", (*RETIRE, "--vessel", "12 L"), 3, ("foam",)),
    Bad("a smaller vessel", (*RETIRE, "--vessel", "5 L"), 2, ("vessel",)),
    Bad("both ways out", (*RETIRE, "--plate-out", "1 g/L", "--cement"), 2, ("one of the two",)),
    Bad("plate out beyond", (*RETIRE, "--plate-out", "80 g/L"), 2, ("80 g/L",)),
    Bad("unknown film", (*RINSE, "--film", "vertical"), 2, ("vertical well drained",)),
    Bad("nine rinses", (*RINSE, "--stages", "9"), 2, ("8 stages",)),
    Bad("part of no area", ("rinse", "--area", "0 dm^2", "--copper", "51 g/L", "--acid", "60 g/L"), 2, ("above zero",)),
    Bad("label of nothing", ("label", "stuff"), 2, ("in one way",)),
    Bad("label without a name", ("label", " ", "--grade", "battery acid"), 2, ("name",)),
    # what must not be
    Bad("stainless anode", ("safe", "--anode", "stainless steel"), 3, ("chromium",)),
    Bad("unknown anode", ("safe", "--anode", "unobtainium"), 3, ("unobtainium", "not known")),
    Bad("copper on steel", ("safe", "--base-metal", "steel"), 3, ("steel",)),
    Bad("unknown base metal", ("safe", "--base-metal", "zamac"), 2, ("zamac", "'zamak'")),
    Bad("cyanide", ("safe", "--bath", "cyanide"), 3, ("cyanide",)),
    Bad("bleach", ("safe", "--together", "sulfuric acid", "bleach"), 3, ("chlorine",)),
    Bad("water into acid", ("safe", "--pour", "water", "--into", "sulfuric acid", "--strength", "96 %"), 3, ("water first",)),
    Bad("nothing asked", ("safe",), 2, ("--anode",)),
    Bad("one substance", ("safe", "--together", "bleach"), 2, ("two",)),
    Bad("unknown activity", ("safe", "--doing", "mixng"), 2, ("mixng", "'mixing'")),
    # the line itself
    Bad("no action", (), 2, ("ACTION",)),
    Bad("unknown action", ("mkae",), 2, ("mkae",)),
    Bad("unknown units", (*MAKE, "--units", "imperial"), 2, ("imperial",)),
    Bad("weeks in words", (*FORECAST, "charge=5 Ah", "--weeks", "many"), 2, ("many",)),
    Bad("check of a shelf", ("check", "shelf.toml"), 2, ("[bath]",)),
    Bad("frozen night", ("check", "bath.toml", "--coldest", "-40 degC"), 2, ()),
]  # fmt: skip


@pytest.mark.parametrize("bad", TABLE, ids=lambda bad: bad.id)
def test_one_sentence_and_the_right_status(
    bad: Bad, ledger: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if bad.old:
        file = ledger.parent / bad.file
        text = file.read_text("utf-8")
        assert bad.old in text
        file.write_text(text.replace(bad.old, bad.new, 1), "utf-8")
    before = {path.name: path.read_bytes() for path in ledger.parent.iterdir()}

    status = run(["bath", *bad.line])

    said = capsys.readouterr()
    assert status == bad.status, said.err
    assert said.out == ""
    assert said.err.startswith("tankside: ")
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err
    assert len(said.err) < 500
    for words in bad.says:
        assert words in said.err
    assert {path.name: path.read_bytes() for path in ledger.parent.iterdir()} == before


PLENTY = (
    ("note", "bath.jsonl", "ampere-hours", "charge=22 Ah", "at=2024-01-14"),
    ("note", "bath.jsonl", "drag-out", "area=9 dm^2", "parts=3", "at=2024-01-14"),
    ("note", "bath.jsonl", "top-up", "water=tap", "volume=400 mL", "level=10 L", "at=2024-01-15",
     "--shelf", "shelf.toml"),
    (*COPPER, "--note", "bath.jsonl", "--at", "2024-01-20"),
    (*ACID, "--note", "bath.jsonl", "--at", "2024-01-20"),
)  # fmt: skip
"""A fortnight of a bath."""

WEEK = ("--per-week", "charge=20 Ah", "open=120 h", "surface=6 dm^2", "water=tap")

ANSWERS = [
    ("check", "bath.toml"),
    MAKE,
    (*MAKE, "--units", "us"),
    (*MAKE, "--old", "bath.jsonl", "--volume", "12 L"),
    (*NOTE, "addition", "product=battery acid", "amount=120 mL", "at=2024-02-01"),
    (*NOTE, "analysis", "chloride=70 ± 10 mg/L", "at=2024-02-01"),
    ("ledger", "bath.jsonl"),
    ("ledger", "bath.jsonl", "--last", "3"),
    ("state", "bath.jsonl"),
    ("state", "bath.jsonl", "--target", "bath.toml", "--at", "2024-03-01"),
    ("forecast", "bath.jsonl", *WEEK, "water=distilled water", "--hardness", "250 mg/L"),
    ("next", "bath.jsonl"),
    ("next", "bath.jsonl", *WEEK, "--weeks", "20"),
    DOSE,
    (*DOSE, "--family", "high-throw", "--panel", "dull"),
    COPPER,
    (*COPPER, "--method", "thiosulfate", "--age", "2 months"),
    (*COPPER, "--standard", "zinc", "--standard-mass", "0.131 g", "--standard-run", "20.0 mL"),
    ACID,
    ("titrate", "copper", "20 mL", "19.9 mL", "--diluted", "pipette 25 mL class B",
     "flask 250 mL class B", "pipette 25 mL class B"),
    ("titrate", "copper", "16 mL", "--weighed", "2.32 g", "--bath-density", "1.16 ± 0.003 g/mL"),
    ("titrate", "chloride", "--cloud", "50 mg/L=cloudier", "--cloud", "100 mg/L=clearer"),
    ("titrate", "copper", "--plan", "--expect", "50 g/L"),
    ("titrate", "acid", "--plan", "--expect", "60 g/L"),
    ("titrate", "chloride", "--plan", "--expect", "70 mg/L"),
    ("density", "1.160 g/mL", "--temperature", "21 degC"),
    ("density", "1.160 g/mL", "--temperature", "21 degC", "--copper", "51 ± 1 g/L"),
    ("density", "1.160 g/mL", "--temperature", "21 degC", "--acid", "60 ± 2 g/L"),
    ("density", "20.1", "--scale", "baume-us", "--temperature", "70 degF"),
    ("ph", "2.61", "--buffer", "4.01=4.05", "--buffer", "7.00=7.02", "--temperature", "22 degC"),
    ("ph", "250 mV", "--buffer", "4=172 mV", "--buffer", "7=-3 mV", "--temperature", "22 degC"),
    (*METER, "--full-scale", "500 mS/cm"),
    (*RETIRE, "--vessel", "60 L"),
    ("retire", "--ledger", "bath.jsonl", "--plate-out", "1 g/L", "--base", "lime"),
    (*RETIRE, "--cement", "--base", "sodium-hydroxide", "--dissolved"),
    (*RINSE, "--still", "4 L", "--still", "4 L", "--parts", "30", "--evaporated", "3 L"),
    ("label", "Copper bath", "--copper-sulfate", "200 g/L", "--acid", "60 g/L"),
    ("label", "Copper bath", "--ledger", "bath.jsonl"),
    ("label", "Battery acid", "--shelf", "shelf.toml", "--product", "battery acid"),
    ("safe", "--anode", "copper", "--base-metal", "brass", "--heater", "water bath"),
    ("safe", "--doing", "neutralising", "--with", "sodium carbonate=100 %"),
    ("safe", "--together", "citric acid", "sodium chloride"),
    ("shelf",),
    ("shelf", "--grade", "battery acid"),
    ("shelf", "--file", "shelf.toml"),
    (*LABEL, "substance=sulfuric acid", "strength=37 %", "density=1.28 g/mL"),
    ("example", "new"),
]  # fmt: skip


@pytest.fixture
def fortnight(ledger: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The ledger after a fortnight."""
    if not _FORTNIGHT:
        for line in PLENTY:
            assert run(["bath", *line]) == 0
        capsys.readouterr()
        _FORTNIGHT.append(ledger.read_bytes())
    ledger.write_bytes(_FORTNIGHT[0])
    return ledger


_FORTNIGHT: list[bytes] = []


@pytest.mark.parametrize("line", ANSWERS, ids=lambda line: " ".join(line)[:60])
def test_an_answer_is_text_of_88_columns_cautions_first_and_json_besides(
    line: tuple[str, ...], fortnight: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["bath", *line]) == 0
    said = capsys.readouterr().out
    text = said.splitlines()
    assert max(map(len, text)) <= 88, max(text, key=len)
    if any(one.lstrip().startswith("!") for one in text) and line[0] not in ("make", "label"):
        first = next(place for place, one in enumerate(text) if one.lstrip().startswith("!"))
        before = "\n".join(text[:first])
        assert before.count("\n\n") <= 1 or line[0] in ("titrate", "shelf"), before

    assert run(["bath", *line, "--json"]) == 0
    reply = json.loads(capsys.readouterr().out)
    assert isinstance(reply, dict)
    assert reply


def test_a_ledger_that_was_begun_by_a_make_up_knows_what_was_made(
    ledger: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The estimate of a bath just made is the plan's own composition, within its interval."""
    assert run(["bath", *MAKE, "--json"]) == 0
    made = {one["quantity"]: one for one in json.loads(capsys.readouterr().out)["composition"]}
    assert run(["bath", "state", "bath.jsonl", "--json"]) == 0
    bath = json.loads(capsys.readouterr().out)["bath"]
    salt = made["copper sulfate pentahydrate"]["value_kg_m3"]
    assert bath["copper_kg_m3"]["best"] == pytest.approx(salt["best"] * 63.546 / 249.685, rel=0.01)
    acid = made["sulfuric acid"]["value_kg_m3"]
    assert bath["sulfuric_acid_kg_m3"]["best"] == pytest.approx(acid["best"], rel=0.01)
    assert bath["volume_m3"]["best"] == pytest.approx(0.010, rel=0.01)


def test_a_slip_is_set_aside_and_named(fortnight: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = [*NOTE, "analysis", "copper=75 ± 1.5 g/L", "at=2024-01-25"]
    assert run(["bath", *line]) == 0
    assert "does not fit" in capsys.readouterr().out
    assert run(["bath", "state", "bath.jsonl"]) == 0
    said = capsys.readouterr().out
    assert "analysis-2024-01-25" in said
    assert "set aside" in said
    assert run(["bath", *NOTE, "retraction", "of=analysis-2024-01-25"]) == 0
    capsys.readouterr()
    assert run(["bath", "state", "bath.jsonl"]) == 0
    assert "set aside" not in capsys.readouterr().out


def test_a_torn_end_is_said_refused_and_mended(
    fortnight: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = fortnight.read_bytes()
    fortnight.write_bytes(whole + b'{"ledger": 1, "event": "carb')
    assert run(["bath", *NOTE, "carbon", "at=2024-02-01"]) == 2
    assert "cut off" in capsys.readouterr().err
    assert run(["bath", "state", "bath.jsonl"]) == 0
    assert "cut off" in capsys.readouterr().out
    assert run(["bath", "ledger", "bath.jsonl", "--mend"]) == 0
    assert "bath.jsonl.torn-1" in capsys.readouterr().out
    assert fortnight.read_bytes() == whole
    assert run(["bath", *NOTE, "carbon", "at=2024-02-01"]) == 0


def test_the_brightener_is_never_dosed_without_a_panel(
    fortnight: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for panel, dosed in (("", None), ("bright", 0.0), ("overdosed", 0.0)):
        assert run(["bath", *DOSE, "--json", *(("--panel", panel) if panel else ())]) == 0
        assert json.loads(capsys.readouterr().out)["additive"]["dose_kg"] == dosed
    assert run(["bath", *DOSE, "--json", "--panel", "dull"]) == 0
    additive = json.loads(capsys.readouterr().out)["additive"]
    assert additive["dose_kg"] == pytest.approx(0.5 * additive["missing_kg"])
    assert additive["dose_kg"] > 0.0


def test_every_action_has_a_module_and_an_option_parser() -> None:
    assert set(ACTIONS) == set(MODULES)


@pytest.mark.parametrize("action", list(ACTIONS))
def test_every_action_has_help(action: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        run(["bath", action, "--help"])
    assert left.value.code == 0
    assert ACTIONS[action][0] in " ".join(capsys.readouterr().out.split())


def test_help_comes_at_once_and_loads_no_library() -> None:
    """In a process of its own; the time is the best of three, as the machine may be busy."""
    program = (
        "import contextlib, io, sys\n"
        "from tankside.main import run\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "    run(['bath', '--help'])\n"
        "heavy = {'numpy', 'scipy', 'pydantic', 'pint', 'numba'} & set(sys.modules)\n"
        "raise SystemExit(f'loaded {heavy}' if heavy else 0)"
    )
    seconds = []
    for _ in range(3):
        begun = time.process_time(), time.perf_counter()
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
        seconds.append(time.perf_counter() - begun[1])
        assert done.returncode == 0, done.stderr
    assert min(seconds) < 2.0


COARSE = """
[target]
family = "high-throw"
volume = "8 L"
[vessel]
material = "hdpe"
diameter = "25 cm"
height = "25 cm"
[[shelf]]
grade = "copper sulfate, laboratory"
[[shelf]]
grade = "sulfuric acid 93 %"
[[shelf]]
grade = "salt, pure"
[[shelf]]
grade = "distilled water"
[[tool]]
name = "scale"
division = "0.05 oz"
capacity = "11 lb"
[[tool]]
name = "syringe"
division = "0.2 mL"
capacity = "10 mL"
[[tool]]
name = "jug"
division = "0.5 us fl oz"
capacity = "2 us cups"
"""


def test_a_dose_from_a_stock_is_never_told_as_a_mass_of_the_product(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Seventeen grams of salt in place of as many of its solution would be seventeen times too
    much."""
    (workshop / "coarse.toml").write_text(COARSE, "utf-8")
    assert run(["bath", "make", "coarse.toml"]) == 0
    said = capsys.readouterr().out
    (line,) = [one for one in said.splitlines() if "Add: salt" in one]
    assert "mL of its stock solution" in line
    assert " g" not in line.partition("Add:")[2].replace("salt, pure", "")
    (stock,) = [one for one in said.splitlines() if "Make a stock solution" in one]
    assert "oz filled up to" in stock


def test_amounts_are_told_in_the_unit_of_the_tool(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (workshop / "coarse.toml").write_text(COARSE, "utf-8")
    assert run(["bath", "make", "coarse.toml"]) == 0
    said = capsys.readouterr().out
    salt = next(one for one in said.splitlines() if one.startswith("  copper sulfate, lab"))
    assert re.search(r"\d oz  scale", salt), salt


def test_acid_is_poured_in_portions_with_its_cautions_before_the_first(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (workshop / "coarse.toml").write_text(COARSE, "utf-8")
    assert run(["bath", "make", "coarse.toml"]) == 0
    said = capsys.readouterr().out
    first = said.index("portion 1 of")
    assert said.index("Pour water") < said.index("Acid of this strength boils") < first


def test_a_weak_acid_target_is_laid_beside_its_own_family(
    workshop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for family, shows in (("citrate", "Citric acid"), ("acetate", "pH")):
        (workshop / "weak.toml").write_text(f'[target]\nfamily = "{family}"\n', "utf-8")
        assert run(["bath", "check", "weak.toml"]) == 0
        assert shows in capsys.readouterr().out
