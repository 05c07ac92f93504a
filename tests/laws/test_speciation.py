"""Laws of equilibria: nothing is lost, charge closes, acid lowers pH, dilution lets go."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.bath.solubility import saturated
from tankside.bath.speciation.equilibrium import Speciation, speciated
from tankside.bath.speciation.ionic_conductivity import conductivity
from tankside.bath.speciation.species import species

amounts = st.floats(1e-4, 0.3)
some = st.one_of(st.just(0.0), amounts)
warmth = st.floats(274.0, 332.0)
steady = settings(deadline=None, max_examples=80)

CHARGES = {one.name: one.charge for one in species()}
COUNTS = {one.name: one.counts for one in species()}


def held(answer: Speciation, component: str) -> float:
    return sum(m * COUNTS[name].get(component, 0) for name, m in answer.molality.items())


@steady
@given(copper=amounts, sulfate=some, acetate=some, citrate=some, sodium=some, t=warmth)
def test_mass_and_charge_balance_to_rounding(
    copper: float, sulfate: float, acetate: float, citrate: float, sodium: float, t: float
) -> None:
    acid = 2.0 * copper + sodium  # enough anions that hydroxides do not swallow the copper
    totals = {
        "copper": copper,
        "sulfate": sulfate,
        "acetate": acetate,
        "citrate": citrate,
        "sodium": sodium,
        "chloride": acid,
    }
    answer = speciated(totals, t)
    for name, total in totals.items():
        if total:
            assert abs(held(answer, name) / total - 1.0) < 1e-11
    charges = np.array([CHARGES[name] * m for name, m in answer.molality.items()])
    assert abs(charges.sum()) < 1e-11 * np.abs(charges).sum()
    ionic = 0.5 * sum(CHARGES[name] ** 2 * m for name, m in answer.molality.items())
    assert abs(ionic / answer.ionic_strength - 1.0) < 1e-10


@steady
@given(copper=amounts, acid=amounts, more=st.floats(1e-3, 0.2), t=warmth)
def test_more_acid_lowers_the_ph(copper: float, acid: float, more: float, t: float) -> None:
    for name in ("acetate", "citrate"):
        base = {"copper": copper, "sulfate": copper}
        weaker = speciated({**base, name: acid}, t)
        stronger = speciated({**base, name: acid + more}, t)
        assert stronger.pH < weaker.pH


@steady
@given(copper=amounts, acid=amounts, factor=st.floats(1.05, 20.0), t=warmth)
def test_dilution_sets_copper_free(copper: float, acid: float, factor: float, t: float) -> None:
    totals = {"copper": copper, "acetate": 2.0 * copper + acid}
    thin = {name: total / factor for name, total in totals.items()}
    strong, weak = speciated(totals, t), speciated(thin, t)
    assert weak.molality["Cu+2"] / thin["copper"] > strong.molality["Cu+2"] / totals["copper"]


@steady
@given(acid=amounts, factor=st.floats(1.05, 50.0), t=warmth)
def test_dilution_weakens_an_acid_and_parts_more_of_it(
    acid: float, factor: float, t: float
) -> None:
    for name, whole in (("acetate", "HAcetate"), ("citrate", "H3Citrate")):
        strong, weak = speciated({name: acid}, t), speciated({name: acid / factor}, t)
        assert weak.pH > strong.pH
        assert weak.molality[whole] / (acid / factor) < strong.molality[whole] / acid


@steady
@given(copper=amounts, acid=amounts, sodium=some)
def test_ions_in_company_conduct_less_than_alone(copper: float, acid: float, sodium: float) -> None:
    """Kohlrausch's sum at infinite dilution is a ceiling at 25 °C, and warmth raises the answer."""
    totals = {"copper": copper, "acetate": 2.0 * copper + acid + sodium, "sodium": sodium}
    answer = speciated(totals, 298.15)
    ceiling = sum(one.conductivity * answer.molality.get(one.name, 0.0) * 1e3 for one in species())
    found = conductivity(answer, 1e3)
    assert 0.0 < found.low < found.best < found.high
    assert 0.3 * ceiling < found.best < ceiling
    assert conductivity(speciated(totals, 308.15), 1e3).best > found.best


@steady
@given(acid=st.floats(0.0, 340.0), step=st.floats(0.5, 10.0), t=st.floats(273.2, 326.0))
def test_solubility_is_monotone(acid: float, step: float, t: float) -> None:
    assert saturated(acid + step, t) < saturated(acid, t) < saturated(acid, t + 2.0)
