"""Bad input on the bath's command line gets one sentence, the right status, and nothing is written."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from tankside.main import run
from tests.faces.bath.lines import (
    ACID,
    COPPER,
    DOSE,
    FORECAST,
    LABEL,
    MAKE,
    METER,
    NOTE,
    RETIRE,
    RINSE,
)


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
