"""Products as typed: by a label, as an additive of unknown contents, and how much of one."""

from tankside.app.bath.entries import Entries
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.substances.hydrometer import read_density
from tankside.substances.label_amounts import read_package, read_price
from tankside.substances.labels import read_product
from tankside.substances.products import Form, Product, grade


def product_of(entries: Entries) -> Product:
    """The product of a label as typed."""
    label = {key: entries.text(key) for key in entries.table}
    return read_product(label, where=entries.where)


def additive_product(entries: Entries) -> Product:
    """An additive as a product of unknown contents, which counts as water; a liquid's density is
    that of water where the label is silent."""
    form = entries.text("form", "liquid").strip().lower()
    if form not in tuple(Form):
        raise BadInput(
            "a product is 'solid' or 'liquid', not {form!r}", form=form, where=entries.place("form")
        )
    density = None
    if form == Form.LIQUID:
        density = grade("deionised water").density
        if "density" in entries:
            place = entries.place("density")
            density = read_density(entries.text("density"), where=place).density
    label = {key: entries.text(key) for key in ("package", "price") if key in entries}
    price, currency = read_price(label, entries.where)
    return Product(
        name=entries.text("name"),
        form=Form(form),
        contents=(),
        density=density,
        package=read_package(label, density, entries.where),
        price=price,
        currency=currency,
        notes=("Its contents are not known: read its safety sheet.",),
    )


def amount(text: str, product: Product, *, where: str) -> float:
    """A mass [kg] of a product that was typed as a mass or, for a liquid, as a volume."""
    try:
        mass = quantity(text, Kind.MASS, where=where)
    except BadInput as not_a_mass:
        try:
            volume = quantity(text, Kind.VOLUME, where=where)
        except BadInput:
            raise not_a_mass from None
        if product.density is None:
            raise BadInput(
                "{text!r} is a volume, and no density of {product!r} is known; weigh it",
                text=text,
                product=product.name,
                where=where,
            ) from not_a_mass
        mass = volume * product.density.best
    if mass < 0.0:
        raise BadInput(
            "there cannot be {text} of {product!r}", text=text, product=product.name, where=where
        )
    return mass
