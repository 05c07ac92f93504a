"""How much bath to take, and the procedure that follows."""

import pytest

from tankside.base.errors import BadInput, Impossible
from tankside.bath.analysis.design import TITRE_RANGE, planned_sample
from tankside.bath.analysis.instruments import Volumetric, instrument
from tankside.bath.analysis.procedure import procedure
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.titrants import bought
from tankside.bath.analysis.titration import titrated, titration, titrations
from tests.unit.bath.analysis.bench import BURETTE, ML

PIPETTES = [instrument(f"pipette {size} mL class B") for size in (1, 2, 5, 10, 25)]
FLASK = instrument("flask 100 mL class B")
EDTA = bought("EDTA", 100.0, 0.002)
COPPER = titration("copper-by-edta")


@pytest.mark.parametrize("expected", [5.0, 19.0, 50.0, 57.0])
def test_the_titre_fits_the_burette_and_the_prediction_holds(expected: float) -> None:
    plan = planned_sample(
        COPPER, expected=expected, titrant=EDTA, burette=BURETTE, pipettes=PIPETTES, flasks=[FLASK]
    )
    low, high = (share * BURETTE.capacity for share in TITRE_RANGE)
    assert low <= plan.titre <= high
    found = titrated(
        COPPER, [Run(end=plan.titre)] * 2, titrant=EDTA, burette=BURETTE, sample=plan.sample
    )
    assert found.value.best == pytest.approx(expected)
    assert found.std / expected == pytest.approx(plan.relative_std, rel=0.06)


def test_no_other_way_is_much_better() -> None:
    """The plan beats each single pipette that fits."""
    best = planned_sample(
        COPPER, expected=50.0, titrant=EDTA, burette=BURETTE, pipettes=PIPETTES, flasks=[FLASK]
    )
    for pipette in PIPETTES:
        try:
            one = planned_sample(
                COPPER, expected=50.0, titrant=EDTA, burette=BURETTE, pipettes=[pipette]
            )
        except Impossible:
            continue
        assert best.relative_std <= 1.15 * one.relative_std


def test_a_syringe_gives_way_to_a_dilution_by_pipette() -> None:
    ways: list[Volumetric] = [instrument("syringe 1 mL"), instrument("pipette 10 mL class B")]
    plan = planned_sample(
        COPPER, expected=50.0, titrant=EDTA, burette=BURETTE, pipettes=ways, flasks=[FLASK]
    )
    assert plan.dilution
    assert "made up to 100 mL" in plan.sample.words


def test_where_nothing_fits_the_titrant_that_would_is_named() -> None:
    with pytest.raises(Impossible, match=r"a titrant of about 0\.\d+ mol/L would"):
        planned_sample(
            COPPER,
            expected=50.0,
            titrant=bought("EDTA", 1.0, 0.0),
            burette=BURETTE,
            pipettes=PIPETTES,
        )
    with pytest.raises(Impossible, match="none is listed"):
        planned_sample(COPPER, expected=50.0, titrant=EDTA, burette=BURETTE, pipettes=[])
    with pytest.raises(BadInput, match="above zero"):
        planned_sample(COPPER, expected=0.0, titrant=EDTA, burette=BURETTE, pipettes=PIPETTES)


@pytest.mark.parametrize("name", sorted(titrations()))
def test_every_procedure_can_be_written_out(name: str) -> None:
    method = titration(name)
    expected = {"copper": 50.0, "sulfuric_acid": 60.0, "chloride": 0.06}[method.quantity]
    strength = 10.0 if method.titrant == "silver nitrate" else 100.0
    if method.quantity == "sulfuric_acid":
        strength = 1000.0
    titrant = bought(method.titrant, strength, 0.01)
    plan = planned_sample(
        method,
        expected=expected,
        titrant=titrant,
        burette=BURETTE,
        pipettes=[*PIPETTES, instrument("pipette 50 mL class B")],
        flasks=[FLASK],
    )
    written = procedure(method, plan, titrant, runs=3)
    assert written.titrant_volume == pytest.approx(plan.titre * 3 * 1.25)
    assert any(plan.sample.words in step.text for step in written.steps)
    assert not any("{" in step.text for step in written.steps)
    assert "oggles" in written.steps[0].cautions[0]
    assert "Never the drain" in written.after[0]
    assert [need.volume + need.mass for need in written.needs] == pytest.approx(
        [3 * (need.volume + need.mass) for need in method.needs]
    )
    assert written.interferes
    assert written.keep
    assert plan.titre > 2.0 * ML


def test_acid_by_hydroxide_is_not_for_a_citrate_bath() -> None:
    method = titration("acid-by-hydroxide")
    titrant = bought("sodium hydroxide", 1000.0, 0.01)
    plan = planned_sample(
        method, expected=60.0, titrant=titrant, burette=BURETTE, pipettes=PIPETTES
    )
    with pytest.raises(BadInput, match="does not hold for a citrate bath"):
        procedure(method, plan, titrant, family="citrate")
