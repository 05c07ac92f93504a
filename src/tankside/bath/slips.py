"""Guards against slips of unit and name: milligrams for grams, percent for grams in a litre, the
white powder for the blue crystals.

Each says what was given, what it clashes with, and what was probably meant.
"""

from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.base.wording import quoting
from tankside.bath.composition import Composition
from tankside.substances import substance
from tankside.substances.products import Product
from tankside.substances.strengths import solution_density, strength_from_density

MOST_CHLORIDE_KG_PER_M3 = 1.0
"""Published acid copper windows end at 0.12 g/L of chloride (Metal Finishing Guidebook, acid copper
tables); above about 1 g/L copper(I) chloride clogs the anodes (common practice, no source)."""

LEAST_SOLUTE_KG_PER_M3 = 0.5
"""A bath with less salt or acid than this was meant in grams, not milligrams: our guess."""

MOST_SOLUTE_KG_PER_M3 = 500.0
"""No bath holds more of one thing; more was meant in milligrams, or as a product: our guess."""

MOST_ADDITIVE = 0.05
"""Makers of brighteners dose millilitres in a litre; above 50 mL/L it is a slip: our guess."""

MOST_ADDITIVE_KG_PER_M3 = 5.0
"""Polyethylene glycol is dosed at tens to hundreds of milligrams a litre: our guess."""

LEAST_VOLUME_M3 = 1e-4
"""A tenth of a litre: less is no bath."""

MOST_VOLUME_M3 = 5.0
"""Five cubic metres: more is no bench."""

DENSITY_CLASH = 0.015
"""Relative difference from which a label's strength and density contradict each other [-]: three
times what tables and labels err by, our guess."""

PERCENT_MATCH = 0.03
"""How near grams in a litre over ten must come to a percentage to be what was meant [-]."""

_ACIDS = ("sulfuric acid", "hydrochloric acid")
_BLUE = ("pentahydrate", "bluestone", "blue vitriol", "blue crystal", "5h2o")
_WHITE = ("anhydrous", "dried", "waterless")


def refuse_thousandfold(composition: Composition) -> None:
    """BadInput where a concentration looks a thousand times too large or too small."""
    refuse_much_chloride(composition.chloride, where="[bath] chloride")
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid"):
        refuse_little_solute(name, getattr(composition, name), where=f"[bath] {name}")


def refuse_much_chloride(chloride: float, *, where: str) -> None:
    """BadInput where chloride [kg m⁻³] was meant in milligrams."""
    if chloride > MOST_CHLORIDE_KG_PER_M3:
        raise BadInput(
            "{chloride} of chloride is far above the 0.12 g/L of any published bath; did you mean "
            "{meant:.3g} mg/L?",
            chloride=Quantity(chloride, "g/L"),
            meant=chloride,
            where=where,
        )


def refuse_little_solute(name: str, value: float, *, where: str) -> None:
    """BadInput where salt or acid [kg m⁻³] is a thousandth of a bath's."""
    if 0.0 < value < LEAST_SOLUTE_KG_PER_M3:
        raise BadInput(
            "{value:.3g} mg/L is too little for a bath; did you mean {meant}?",
            value=1e3 * value,
            meant=Quantity(1e3 * value, "g/L"),
            where=where,
        )


def refuse_much_solute(name: str, value: float, *, where: str) -> None:
    """BadInput where salt or acid [kg m⁻³] is more than any bath holds."""
    if value > MOST_SOLUTE_KG_PER_M3:
        raise BadInput(
            "{value} of {name} is more than any bath holds; did you mean {meant:.4g} mg/L, "
            "or the amount in all?",
            value=Quantity(value, "g/L", 4),
            name=name,
            meant=value,
            where=where,
        )


def refuse_odd_volume(volume: float) -> None:
    """BadInput where a bath's volume [m³] was meant in litres, or in cubic metres."""
    if not LEAST_VOLUME_M3 <= volume <= MOST_VOLUME_M3:
        meant = f"{1e6 * volume:.3g} L" if volume < LEAST_VOLUME_M3 else f"{volume:.3g} L"
        raise BadInput(
            "a bath of {volume} is none for a bench; did you mean {meant}?",
            volume=Quantity(volume, "L"),
            meant=meant,
            where="volume",
        )


def refuse_much_additive(name: str, dose: float, *, liquid: bool) -> None:
    """BadInput where an additive's dose [m³ m⁻³, or kg m⁻³ of a solid] is far above any maker's."""
    most = MOST_ADDITIVE if liquid else MOST_ADDITIVE_KG_PER_M3
    if not 0.0 <= dose <= most:
        shown = f"{1e3 * dose:.3g} mL/L" if liquid else f"{dose:.3g} g/L"
        meant = f"{dose:.3g} mL/L" if liquid else f"{dose:.3g} mg/L"
        raise BadInput(
            "{shown} of {name!r} is far from what additives are dosed at; did you mean {meant}?",
            shown=shown,
            name=name,
            meant=meant,
            where="additive",
        )


def refuse_hydrate_slip(product: Product) -> None:
    """BadInput where a product's name says crystals and its contents the dry salt, or the other
    way round."""
    name = product.name.lower()
    dry = product.mass_fraction("copper sulfate").best
    wet = product.mass_fraction("copper sulfate pentahydrate").best
    most = (
        substance("copper sulfate").molar_mass / substance("copper sulfate pentahydrate").molar_mass
    )
    if any(word in name for word in _BLUE) and dry > most * 1.01:
        raise BadInput(
            "{product!r} cannot hold {dry:.3g} % of copper sulfate without water, as the crystals "
            "hold {most:.1f} % at most; did you mean {dry:.3g} % of the pentahydrate?",
            product=product.name,
            dry=100 * dry,
            most=100 * most,
            where="shelf",
        )
    if any(word in name for word in _WHITE) and wet > 0.0:
        raise BadInput(
            "{product!r} is the dry powder by its name and the crystals by its contents; 100 g of "
            "powder are {most:.0f} g of crystals, so say which it is",
            product=product.name,
            most=100 / most,
            where="shelf",
        )


def refuse_percent_slip(product: Product) -> None:
    """BadInput where an acid's strength and its density contradict each other.

    Names grams in a litre taken for percent where that is what fits.
    """
    for acid in _ACIDS:
        strength = product.mass_fraction(acid)
        if strength.best <= 0.0 or product.density is None:
            continue
        try:
            low = solution_density(acid, strength.low).low
            high = solution_density(acid, strength.high).high
            low, high = min(low, high), max(low, high)
            heavy = product.density
        except OutsideValidity:
            continue  # beyond the table nothing contradicts the label
        if heavy.high >= low * (1.0 - DENSITY_CLASH) and heavy.low <= high * (1.0 + DENSITY_CLASH):
            continue
        raise BadInput(_clash(product, acid, strength.best, heavy.best), where="shelf")


def _clash(product: Product, acid: str, strength: float, heavy: float) -> str:
    expected = solution_density(acid, strength).best
    said = quoting(
        "{product!r} is said to be {strength:.4g} % {acid} at {heavy}, but {strength:.4g} "
        "% by mass weighs {expected}",
        product=product.name,
        strength=100 * strength,
        acid=acid,
        heavy=Quantity(heavy, "g/L", decimals=0),
        expected=Quantity(expected, "g/L", decimals=0),
    )
    by_density = _strength_by(acid, heavy)
    if by_density is None:
        return quoting("{said}; read the label again", said=said)
    if abs(by_density * heavy / (1e3 * strength) - 1.0) < PERCENT_MATCH:
        return quoting(
            "{said}; did you mean {strength}, which is {by_density:.1f} % by mass?",
            said=said,
            strength=Quantity(1e3 * strength, "g/L", 4),
            by_density=100 * by_density,
        )
    return quoting(
        "{said}, and that density belongs to {by_density:.1f} %; read the label again",
        said=said,
        by_density=100 * by_density,
    )


def _strength_by(acid: str, heavy: float) -> float | None:
    """Mass fraction that a density [kg m⁻³] belongs to; None where none or two do."""
    try:
        return strength_from_density(acid, Interval.exact(heavy)).best
    except (BadInput, MissingData, OutsideValidity):
        return None
