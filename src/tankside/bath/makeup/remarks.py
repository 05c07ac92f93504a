"""What must be read with a make-up: warnings, what was taken for granted, what it costs, and the
works that it stands on.
"""

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, capital, said
from tankside.base.wording import both
from tankside.bath import heat_of_dilution
from tankside.bath.heat_of_dilution import knows_heat_of
from tankside.bath.makeup.measured_make_up import MeasuredMakeUp
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.plan import Amount, ChlorideShare, Cost, Resulting, SolubilityCheck
from tankside.bath.makeup.request import MakeUpRequest, quantities
from tankside.substances.products import Product

_COARSE = 0.05
"""Relative error of a dose from which a sentence says so [-]: our guess."""

_DIRT = 0.05
"""Insoluble matter from which a sentence says so [kg m⁻³]: our guess."""

_MUCH_FROM_WATER = 0.5
"""Share of the chloride from water and impurities from which a sentence says so [-]: our guess."""


def warnings(
    request: MakeUpRequest,
    done: MeasuredMakeUp,
    resulting: tuple[Resulting, ...],
    budget: tuple[ChlorideShare, ...],
    exact: bool,
) -> tuple[str, ...]:
    """Sentences that must be read, the solubility's apart."""
    sentences = [] if exact else [_aims_missed(resulting)]
    for name in done.left_out:
        sentences.append(
            said(
                "{name} is left out: its dose is too small for these tools and the bath will do "
                "without it.",
                name=name,
            )
        )
    sentences.extend(
        _outside(one, one.wanted)
        for one in resulting
        if one.wanted is not None and _reaches_beyond(one, one.wanted)
    )
    for product, amount in done.doses:
        if amount.relative_error > _COARSE:
            sentences.append(
                said(
                    "The dose of {product} is known to {error} only, because these tools are "
                    "coarse for it; measure the bath before it is used.",
                    product=product.name,
                    error=Quantity(amount.relative_error, "percent", decimals=0),
                )
            )
    dirt = sum(
        product.mass_fraction("insoluble matter").high * amount.mass.best
        for product, amount in done.doses
    )
    if dirt > _DIRT * done.volume:
        sentences.append(
            said(
                "Up to {dirt} of insoluble matter come with the products: let the bath stand "
                "overnight and filter it before it is used.",
                dirt=Quantity(dirt, "g", 2),
            )
        )
    impurity = sum(one.as_impurity.best for one in budget)
    whole = impurity + sum(one.as_content.best for one in budget)
    if whole > 0.0 and impurity > _MUCH_FROM_WATER * whole:
        sentences.append(
            said(
                "Of {whole} of chloride, {impurity} come from water and impurities, which change "
                "from week to week: measure the chloride before plating.",
                whole=Quantity(whole, "mg/L"),
                impurity=Quantity(impurity, "mg/L"),
            )
        )
    if request.old is not None:
        sentences.append(
            said(
                "The old bath's dirt and spent additive stay in it: carbon-treat and filter it "
                "first where it is cloudy or smells, and let a test panel decide about additive."
            )
        )
    return tuple(sentences)


def assumptions(
    request: MakeUpRequest, done: MeasuredMakeUp, checks: tuple[SolubilityCheck, ...]
) -> tuple[str, ...]:
    """What was taken for granted."""
    sentences = [
        said(
            "Volumes are those at 20 °C; the density of the mixture is Laliberté's, good to 0.25 %."
        ),
        said(
            "The intervals of labels, tools and mark are independent of each other and hold nine "
            "times in ten."
        ),
        said(
            "Heats of mixing are those at 25 °C, and copper in the water does not change the "
            "acid's."
        ),
    ]
    cold = [product.name for product, _ in done.doses if not _heats_known(product)]
    if cold:
        sentences.append(
            said(
                "No heat of dissolving is known of {products}, and none is counted.",
                products=tuple(cold),
            )
        )
    unpriced = [product.name for product, amount in done.used if amount.cost is None]
    if unpriced:
        sentences.append(
            said(
                "No price is known of {products}: water counted as free, the rest as dear as the "
                "dearest product.",
                products=tuple(unpriced),
            )
        )
    if done.additives:
        sentences.append(
            said(
                "Additives are dosed for the new volume only, and count as water in the bath's "
                "volume."
            )
        )
    if any(product.mass_fraction("hydrogen peroxide").best > 0.0 for product, _ in done.doses):
        excess = allowance("peroxide_excess").value
        sentences.append(
            said(
                "Peroxide is what copper needs by count; part of it falls apart, so have {times} "
                "times as much ready.",
                times=Quantity((excess.low, excess.high), between=" to "),
            )
        )
    if {quantities()[one.quantity][0] for one in request.target.wanted} & {"citrate", "acetate"}:
        sentences.append(
            said(
                "Of a weak acid in water only its volume at infinite dilution is known here, so "
                "that the volume is good to about one per cent, and nothing is said of what stays "
                "dissolved."
            )
        )
    if request.old is not None and request.old.covariance is None:
        sentences.append(
            said("The old bath's quantities are taken to err independently of each other.")
        )
    sentences.extend(sentence for check in checks for sentence in check.assumptions)
    return tuple(dict.fromkeys(sentences))


def sources(checks: tuple[SolubilityCheck, ...]) -> tuple[str, ...]:
    """Keys of the works that a make-up stands on."""
    solubility = [key for check in checks for key in check.sources]
    laws = ("laliberte2004", "laliberte2009", "prohaska2022")
    return tuple(sorted({*laws, *heat_of_dilution.SOURCES, *solubility}))


def costs(used: tuple[tuple[Product, Amount], ...]) -> Cost:
    """What the products cost. BadInput where they are priced in several currencies."""
    priced = [(product, amount) for product, amount in used if amount.cost is not None]
    currencies = sorted({product.currency for product, _ in priced})
    if len(currencies) > 1:
        raise BadInput(
            "products are priced in {currencies}; give all prices in one currency",
            currencies=both(currencies),
            where="shelf",
        )
    known = sum(amount.cost for _, amount in priced if amount.cost is not None)
    return Cost(
        by_product=tuple((product.name, amount.cost) for product, amount in used),
        known=known,
        total=known if len(priced) == len(used) else None,
        currency=currencies[0] if currencies else "",
    )


def _aims_missed(resulting: tuple[Resulting, ...]) -> str:
    off = [
        said(
            "{quantity} {value} for {wanted}",
            quantity=said(one.quantity),
            value=_told(one, one.value.best),
            wanted=_told(one, one.wanted.best),
        )
        for one in resulting
        if one.wanted is not None
        and abs(one.value.best - one.wanted.best) > 0.005 * max(one.wanted.best, 1e-6)
    ]
    return said(
        "These products miss the aim but stay within what will do: {missed}.", missed=tuple(off)
    )


def _reaches_beyond(one: Resulting, wanted: Interval) -> bool:
    """True where a window was given, and the interval reaches beyond it."""
    if wanted.high <= wanted.low:
        return False
    return one.value.low < wanted.low or one.value.high > wanted.high


def _outside(one: Resulting, wanted: Interval) -> str:
    return capital(
        said(
            "{quantity} comes to between {low} and {high}, which reaches beyond the {least} to "
            "{most} that will do: measure it before plating.",
            quantity=said(one.quantity),
            low=_told(one, one.value.low),
            high=_told(one, one.value.high),
            least=_told(one, wanted.low),
            most=_told(one, wanted.high),
        )
    )


def _told(one: Resulting, value: float) -> Quantity:
    return Quantity(value, "mg/L" if one.quantity == "chloride" else "g/L")


def _heats_known(product: Product) -> bool:
    return all(
        knows_heat_of(content.substance)
        for content in product.contents
        if content.substance != "insoluble matter"
    )
