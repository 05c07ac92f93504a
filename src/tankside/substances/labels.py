"""A person's own product, read from its label as typed.

The entries are text with units, as on the bottle: substance (or a grade's name), strength, density,
copper content, form, package, price, chloride. What the label says twice must agree: a density that
another strength would have, or a copper content that another salt would have, is refused with both
numbers. What it does not say is filled in from the grade, or asked.
"""

from collections.abc import Mapping

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.substances.copper_content import strength_from_copper
from tankside.substances.hydrometer import DensityReading, read_density
from tankside.substances.label_amounts import read_chloride, read_package, read_price
from tankside.substances.label_density import agreed, strength_by_reading
from tankside.substances.label_strength import Strength, read_strength
from tankside.substances.products import (
    NOTHING,
    Content,
    Form,
    Product,
    grade,
    known_notes,
    liquid_density,
)
from tankside.substances.records import Substance, substance
from tankside.substances.strengths import has_densities, strongest

ENTRIES = (
    "name",
    "substance",
    "grade",
    "strength",
    "density",
    "copper",
    "form",
    "package",
    "price",
    "chloride",
    "note",
)
"""What a label may say."""

_LIKELY_SOLUTION = 0.8


def read_product(label: Mapping[str, str], *, where: str) -> Product:
    """The product that a label describes; `where` names the table for the error's sentence.

    BadInput where an entry is malformed or impossible, where the label contradicts itself, or where
    it leaves open what the product is; UnknownName for an entry, substance or grade not known.
    """
    for entry in label:
        if entry not in ENTRIES:
            raise UnknownName("label entry", entry, ENTRIES, where=where)
    base = grade(label["grade"], where=f"{where} grade") if "grade" in label else None
    record = _record(label, base, where)
    strength = _strength(label, record, where)
    form = _form(label, base, record, strength, where)
    density = _density(label, record, form, where)
    fraction, notes = _fraction(label, record, form, base, strength, density, where)
    weight = _weight(record, form, fraction, strength, density)
    others = base.contents[1:] if base else ()
    price, currency = read_price(label, where)
    return Product(
        name=label.get("name") or (base.name if base else record.name),
        form=form,
        contents=(Content(substance=record.name, mass_fraction=fraction), *others),
        density=weight,
        chloride=read_chloride(label, base.chloride if base else NOTHING, weight, where),
        package=read_package(label, weight, where),
        price=price,
        currency=currency,
        notes=_notes(label, base, record, notes),
    )


def _record(label: Mapping[str, str], base: Product | None, where: str) -> Substance:
    if "substance" in label:
        record = substance(label["substance"], where=f"{where} substance")
        if base is not None and base.contents[0].substance != record.name:
            raise BadInput(
                "the grade {base!r} is {substance}, not {record}; keep one of the two entries",
                base=base.name,
                substance=base.contents[0].substance,
                record=record.name,
                where=where,
            )
        return record
    if base is not None:
        return substance(base.contents[0].substance)
    raise BadInput(
        'the label does not say what is in it; give substance = "..." or grade = "..."',
        where=where,
    )


def _strength(label: Mapping[str, str], record: Substance, where: str) -> Strength | None:
    if "strength" not in label:
        return None
    return read_strength(label["strength"], record, where=f"{where} strength")


def _form(
    label: Mapping[str, str],
    base: Product | None,
    record: Substance,
    strength: Strength | None,
    where: str,
) -> Form:
    fraction = strength.mass_fraction.best if strength and not strength.per_volume else None
    if "form" in label:
        return _stated_form(label["form"], record, fraction, where)
    if base is not None:
        return base.form
    if record.form == Form.SOLID and _undissolved(record, fraction):
        return Form.SOLID
    if record.form != Form.SOLID or "density" in label or (strength and strength.per_volume):
        return Form.LIQUID
    if fraction is not None and fraction < _LIKELY_SOLUTION and has_densities(record.name):
        raise BadInput(
            '{strength!r} of {record} may be a solution or an impure solid; add form = "liquid" '
            'or form = "solid"',
            strength=label["strength"],
            record=record.name,
            where=where,
        )
    return Form.SOLID


def _stated_form(text: str, record: Substance, fraction: float | None, where: str) -> Form:
    form = text.strip().lower()
    if form not in tuple(Form):
        raise BadInput(
            "a product is 'solid' or 'liquid', not {form!r}", form=form, where=f"{where} form"
        )
    if form == Form.LIQUID and record.form == Form.SOLID and _undissolved(record, fraction):
        raise BadInput(
            "no liquid holds {share:.4g} % of {record}: in water our table ends at "
            "{strongest:g} %; is it solid?",
            share=100 * (fraction or 0.0),
            record=record.name,
            strongest=100 * strongest(record.name),
            where=f"{where} form",
        )
    return Form(form)


def _undissolved(record: Substance, fraction: float | None) -> bool:
    """True where so much of a solid would not be in solution, as far as our tables go."""
    if fraction is None or not has_densities(record.name):
        return False
    return fraction > max(strongest(record.name), _LIKELY_SOLUTION)


def _weight(
    record: Substance,
    form: Form,
    fraction: Interval,
    strength: Strength | None,
    density: DensityReading | None,
) -> Interval | None:
    """A liquid's density at 20 °C [kg m⁻³] by its strength, else as the label says it."""
    if form is Form.SOLID:
        return None
    held = liquid_density(record.name, fraction)
    if held is not None:
        return held
    if strength is not None and strength.density is not None:
        return strength.density
    return density.density if density is not None else None


def _density(
    label: Mapping[str, str], record: Substance, form: Form, where: str
) -> DensityReading | None:
    if "density" not in label:
        return None
    if form is Form.SOLID:
        raise BadInput(
            "a density says nothing of how strong a solid {record} is; leave it out",
            record=record.name,
            where=f"{where} density",
        )
    return read_density(label["density"], where=f"{where} density")


def _fraction(
    label: Mapping[str, str],
    record: Substance,
    form: Form,
    base: Product | None,
    strength: Strength | None,
    density: DensityReading | None,
    where: str,
) -> tuple[Interval, tuple[str, ...]]:
    """The mass fraction that all entries together allow, and what was assumed."""
    if form is Form.SOLID and strength is not None and strength.per_volume:
        raise BadInput(
            "{strength!r} is the strength of a solution, and the product is solid; write a "
            "percent by mass",
            strength=label["strength"],
            where=f"{where} strength",
        )
    stated = strength.mass_fraction if strength else None
    if stated is None and base is not None:
        stated = base.contents[0].mass_fraction
    if stated is None and record.name == "water":
        stated = Interval.exact(1.0)
    notes = (strength.note,) if strength and strength.note else ()
    if "copper" in label:
        stated = strength_from_copper(label["copper"], record, stated, where=f"{where} copper")
    if density is None:
        if stated is None:
            raise BadInput(
                f'the label does not say how strong the {record.name} is; add strength = "..."'
                + (' or density = "..."' if form is Form.LIQUID else ""),
                where=where,
            )
        return stated, notes
    if stated is None:
        return strength_by_reading(record.name, density, where=f"{where} density"), notes
    return agreed(record.name, stated, density, label["density"], where=where), notes


def _notes(
    label: Mapping[str, str], base: Product | None, record: Substance, assumed: tuple[str, ...]
) -> tuple[str, ...]:
    own = (label["note"],) if label.get("note") else ()
    return (*own, *assumed, *(base.notes if base else known_notes(record.name)))
