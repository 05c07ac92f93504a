"""Products that look right for a bath and are not, by name and by contents.

They are tables of data/wrong_products.toml. Dangerous ones are refused as such; unfit ones as
impossible, with what to take instead.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from tankside.base.errors import Impossible, SafetyRefusal
from tankside.base.wording import term
from tankside.bath.makeup.numbers import toml_rows
from tankside.substances.products import Product


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongProduct:
    """One kind of product that no bath is made from: how it is known, why, what to take."""

    id: str
    kind: str
    words: tuple[str, ...]
    contents: tuple[str, ...]
    unless: tuple[str, ...]
    reason: str
    instead: str

    def meets(self, product: Product) -> bool:
        """True where this is such a product, by its name or by what it holds."""
        name = " ".join(product.name.lower().split())
        if any(word in name for word in self.unless):
            return False
        held = {content.substance for content in product.contents}
        return any(word in name for word in self.words) or bool(held & set(self.contents))


def refuse_wrong_products(products: Iterable[Product]) -> None:
    """SafetyRefusal for a dangerous product among these, Impossible for an unfit one."""
    for product in products:
        for wrong in wrong_products():
            if wrong.meets(product):
                error = SafetyRefusal if wrong.kind == "danger" else Impossible
                raise error(
                    f"no bath is made with {product.name!r}: {wrong.reason}; {wrong.instead}",
                    where="shelf",
                )


@cache
def wrong_products() -> tuple[WrongProduct, ...]:
    """All kinds that are refused."""
    return tuple(
        WrongProduct(
            id=row["id"],
            kind=row["kind"],
            words=tuple(row["words"]),
            contents=tuple(row["contents"]),
            unless=tuple(row.get("unless", ())),
            reason=term(row["reason"]),
            instead=row["instead"],
        )
        for row in toml_rows("wrong_products.toml")["product"]
    )
