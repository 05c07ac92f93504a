"""The bath on the command line answers so that one can work by it."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tankside.cli.bath.options import ACTIONS
from tankside.cli.bath_command import MODULES
from tankside.main import run
from tests.faces.bath.lines import ACID, COPPER, DOSE, LABEL, MAKE, METER, NOTE, RETIRE, RINSE

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


def test_help_loads_no_library() -> None:
    """In a process of its own."""
    program = (
        "import contextlib, io, sys\n"
        "from tankside.main import run\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "    run(['bath', '--help'])\n"
        "heavy = {'numpy', 'scipy', 'pydantic', 'pint', 'numba'} & set(sys.modules)\n"
        "raise SystemExit(f'loaded {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


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
