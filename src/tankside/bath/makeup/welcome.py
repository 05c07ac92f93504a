"""Which products of a shelf belong into a bath at all: those that bring what is wanted and no
stranger.

Citric acid has hydrogen as sulfuric acid has, muriatic acid too, and a balance of hydrogen alone
would take the cheaper. A product is welcome where each ion that it brings is wanted, or comes with
every bath of its kind (sulfate, hydrogen, water). Sodium is welcome with the salt that brings
wanted chloride; soda and lye only where sodium or hydrogen is asked for by name.
"""

from tankside.bath.ions import dissolves, ions_per_kilogram
from tankside.bath.makeup.request import Target, quantities
from tankside.substances.products import Product

_ALWAYS = frozenset({"sulfate", "hydrogen ion", "water", "carbon dioxide", "electron"})
_TRACE = 1e-3
"""Mass fraction under which a content is an impurity [-]."""


def welcome(product: Product, target: Target, shelf: tuple[Product, ...]) -> bool:
    """True where a product may go into a bath of this target."""
    held = [
        content.substance
        for content in product.contents
        if content.mass_fraction.best > _TRACE and dissolves(content.substance)
    ]
    if all(name == "water" for name in held):
        return bool(held)
    if "hydrogen peroxide" in held:
        return any(one.mass_fraction("copper").best > _TRACE for one in shelf)
    wanted = {quantities()[one.quantity][0] for one in target.wanted}
    brought = {ion for name in held for ion, n in ions_per_kilogram(name).items() if n > 0.0}
    by_name = "hydrogen ion" in {one.quantity for one in target.wanted}
    with_salt = "chloride" in brought and "chloride" in wanted
    known = _ALWAYS | wanted | ({"sodium ion"} if by_name or with_salt else set())
    if brought - known:
        return False
    return bool(brought & wanted) or (by_name and "sodium ion" in brought)
