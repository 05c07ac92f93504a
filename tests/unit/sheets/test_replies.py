"""The JSON reply against the contract, the terminal summary, and the wording of numbers."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Plan
from tankside.sheets.json_reply import plan_json
from tankside.sheets.plan_sheets import PlanSheets
from tankside.sheets.summary import summary_text
from tankside.sheets.wording import between, clock, measured, percent, plain, rounded

CONTRACT = {
    "current_A": None,
    "hours": None,
    "charge_Ah": None,
    "copper_g": None,
    "area_m2": None,
    "current_density_A_m2": {"mean", "min", "max"},
    "thickness_um": {"mean", "min", "p05", "p95", "max"},
    "voltage_V": {"total", "anode", "solution", "cathode", "leads"},
    "burning_area_fraction": None,
    "bare_area_fraction": None,
    "wagner_number": None,
    "checks": {"charge_balance", "mass_balance", "closure"},
    "panels": None,
    "seconds": None,
    "cautions": list,
    "assumptions": list,
    "sources": list,
}


def test_reply_has_every_key_of_the_contract_in_its_order(plan: Plan) -> None:
    reply = plan_json(plan, 12.5)
    assert list(reply)[: len(CONTRACT)] == list(CONTRACT)
    for key, shape in CONTRACT.items():
        if shape is None:
            assert isinstance(reply[key], (int, float))
        elif shape is list:
            assert all(isinstance(entry, str) for entry in reply[key])
        else:
            assert set(reply[key]) == shape


def test_reply_is_strict_json_and_comes_back_as_it_was(plan: Plan) -> None:
    reply = plan_json(plan, 12.5)
    assert json.loads(json.dumps(reply, allow_nan=False)) == reply


def test_reply_is_in_the_units_of_its_names(plan: Plan) -> None:
    reply = plan_json(plan, 12.5)
    assert reply["current_A"] == plan.current
    assert reply["hours"] == pytest.approx(5.4)
    assert reply["charge_Ah"] == pytest.approx(1.392 * 5.4)
    assert reply["copper_g"] == pytest.approx(8.91)
    assert reply["copper_on_part_g"] == pytest.approx(7.81)
    assert reply["thickness_um"]["mean"] == pytest.approx(120.0)
    assert reply["growth_of_size_um"] == pytest.approx(240.0)
    assert reply["intervals"]["thickness_mean_um"] == pytest.approx(
        {"low": 112.0, "best": 120.0, "high": 125.0}
    )
    assert reply["anodes"][0]["copper_used_g"] == pytest.approx(0.701 / 1.392 * 8.91)
    assert reply["heat"]["warm_up_energy_J"] == 3.6e5
    assert reply["panels"] == plan.panels
    assert reply["seconds"] == 12.5
    assert reply["sources"][0].startswith("Newman, J. (1966)")
    assert reply["source_keys"] == ["newman1966", "crc2010"]


@pytest.mark.parametrize("odd", [inf, -inf, nan])
def test_what_is_not_finite_becomes_null(plan: Plan, odd: float) -> None:
    reply = plan_json(replace(plan, wagner_number=odd), 1.0)
    assert reply["wagner_number"] is None
    json.dumps(reply, allow_nan=False)


def test_summary_is_narrow_plain_and_short(plan: Plan) -> None:
    lines = summary_text(plan).splitlines()
    assert max(map(len, lines)) <= 88
    assert len(lines) <= 48
    assert all(line == line.rstrip() for line in lines)
    assert "\x1b" not in summary_text(plan)


def test_summary_begins_with_the_cautions(plan: Plan) -> None:
    text = summary_text(plan)
    assert text.startswith("BEFORE YOU START\n  - Part of the surface plates above the limit")
    assert text.index("Sulfuric acid at 190 g/L") < text.index("Set the current to")


def test_summary_holds_all_that_matters(plan: Plan) -> None:
    text = " ".join(summary_text(plan).split())
    for words in (
        "Set the current to 1.39 A", "Run for 5 h 24 min", "Stop at 7.52 Ah",
        "Expect 1.62 V 1.4 to 2.0 V at the supply", "The deposit sets the current",
        "Mean thickness 120 µm (112 to 125 µm)", "Gain on the scale 7.81 g",
        "Anode 1 0.70 A, 50 % of the whole, 0.21 A/dm²; loses 4.49 g",
        "Wire 1 carries 1.22 A, takes 0.094 A itself; gains 0.60 g", "Thieves take 0.078 A",
        "heater 7.0 to 20 W to hold", "Charge balance 3·10⁻⁸",
        "3 assumptions and 2 sources",
    ):  # fmt: skip
        assert words in text


def test_summarys_histogram_adds_up_and_marks_the_goal(plan: Plan) -> None:
    lines = [line for line in summary_text(plan).splitlines() if re.search(r" to .*µm +\d", line)]
    shares = [float(re.search(r"µm +([\d.]+) %", line).group(1)) for line in lines]
    assert sum(shares) == pytest.approx(100, abs=0.1 * len(shares))
    bars = [line.count("█") for line in lines]
    assert bars[shares.index(max(shares))] == 40
    marked = [line for line in lines if line.endswith("< goal")]
    assert len(marked) == 1
    low, high = re.match(r" *([\d.]+) to +([\d.]+)", marked[0]).groups()
    assert float(low) <= 120 <= float(high)


def test_long_remarks_wrap_and_stay_narrow(plan: Plan) -> None:
    loaded = replace(plan.wires[0], remark="a wire of 0.5 mm gets hot in air; take 0.8 mm or two")
    text = summary_text(replace(plan, wires=(loaded,) * 3))
    assert max(map(len, text.splitlines())) <= 88
    assert text.count("gets hot") == 3


def test_a_summary_without_cautions_says_so(
    invented: Callable[..., Plan], ball: Callable[..., TriangleMesh]
) -> None:
    plan = invented(ball(0.02, (0.0, 0.0, 0.13)), cautions=(), troubled=False)
    assert summary_text(plan).startswith("BEFORE YOU START\n  - No cautions.\n")


def test_the_maker_of_sheets_gives_the_files_of_the_contract(plan: Plan) -> None:
    sheets = PlanSheets()
    request = SheetRequest(title="ball", prepared="2026-11-25", paper="us-letter")
    files = sheets.files(plan, request)
    assert list(files) == ["map.glb", "map.vtu", "panels.parquet", "plan.pdf", "rig.svg"]
    heads = [bytes(contents[:4]) for contents in files.values()]
    assert heads == [b"glTF", b"<?xm", b"PAR1", b"%PDF", b"<svg"]
    assert sheets.summary(plan) == summary_text(plan)
    assert sheets.reply(plan, 2.0) == plan_json(plan, 2.0)
    with pytest.raises(BadInput, match="a4 and us-letter"):
        sheets.files(plan, replace(request, paper="a5"))


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (1.392, 3, "1.39"), (0.00421, 2, "0.0042"), (12762.4, 3, "12800"), (0.0, 3, "0"),
        (9.996, 3, "10.0"), (99.96, 2, "100"), (-45.0, 2, "\u221245"), (0.2, 2, "0.20"),
        (inf, 3, "unlimited"),
    ],
)  # fmt: skip
def test_plain_numbers(value: float, digits: int, text: str) -> None:
    assert plain(value, digits) == text


@given(st.floats(1e-9, 1e9), st.integers(1, 6))
def test_plain_numbers_are_right_to_their_digits(value: float, digits: int) -> None:
    text = plain(value, digits)
    assert "e" not in text
    assert float(text) == pytest.approx(value, rel=0.51 * 10.0 ** (1 - digits))


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(19440, "5 h 24 min"), (1500, "25 min"), (3599, "1 h 00 min"), (200000, "55 h 33 min")],
)
def test_clock(seconds: float, text: str) -> None:
    assert clock(seconds) == text


def test_words_for_small_shares_and_intervals() -> None:
    assert [percent(share) for share in (0.0, 5e-4, 0.041, 1.0)] == [
        "none", "under 0.1 %", "4.1 %", "100 %",
    ]  # fmt: skip
    assert between(Interval(112e-6, 120e-6, 125e-6), "um", 3) == "112 to 125 µm"
    assert between(Interval.exact(0.03), "V") == "0.030 V"
    assert measured(186.0, "A/m^2") == "186 A/m²"
    assert measured(186.0, "A/dm^2") == "1.86 A/dm²"
    assert rounded(50.0) == "50"


def test_the_usual_rules_stand_beside_the_answer(plan: Plan) -> None:
    told = {rule["rule"]: rule for rule in plan_json(plan, 1.0)["rules_of_thumb"]}
    by_area = told["so much current per area"]
    current = 200.0 * plan.part_area  # 2 A/dm²: common practice, no source
    assert f"give {current:.3g} A" in by_area["rule_sets"]
    assert f"the rule sets {current / plan.current:.2g} times that" in by_area["computed"]
    hours = told["hours by Faraday's law from the mean"]
    # 63.546 g/mol, 2 x 96485 C/mol, 8960 kg/m³: 120 µm at 200 A/m²
    faraday = 120e-6 * 8960 * 2 * 96485 / (63.546e-3 * 200) / 3600
    assert f"after {faraday:.3g} h" in hours["rule_sets"]
    assert "6.4 dm²" in told["anode area twice the part's"]["computed"]
    assert "13.2 cm and 13.2 cm" in told["anodes at equal distance all around"]["computed"]
    assert "The usual 2.0 A/dm² would be 0.997 A for 4 h" in " ".join(summary_text(plan).split())
