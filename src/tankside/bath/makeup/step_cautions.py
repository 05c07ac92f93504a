"""Which cautions stand before a step, from what the product holds and what else is in the make-up.

They are named by the ids of the safety room; the rows stand in data/step_cautions.toml.
"""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache

from tankside.bath.makeup.numbers import toml_rows
from tankside.substances.products import Product

BEFORE_ALL = ("eyes-and-hands", "local-rules")
"""Read before anything is opened."""

AT_THE_END = ("waste", "storing")
"""Read when the bath is made."""

WITHDRAWING = ("waste",)
"""Read before bath is taken out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    substance: str
    from_mass_fraction: float
    with_: str
    cautions: tuple[str, ...]


def cautions_of(product: Product, others: Collection[str]) -> tuple[str, ...]:
    """Ids of the cautions before a product is handled, beside `others`, the substances that the
    rest of the make-up holds."""
    found: list[str] = []
    for content in product.contents:
        fraction = content.mass_fraction.best
        rows = [
            row
            for row in _rows()
            if row.substance == content.substance and row.from_mass_fraction <= fraction
        ]
        plain = [row for row in rows if not row.with_]
        if plain:
            found.extend(max(plain, key=lambda row: row.from_mass_fraction).cautions)
        for row in rows:
            if row.with_ in others:
                found.extend(row.cautions)
    return tuple(dict.fromkeys(found))


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            substance=row["substance"],
            from_mass_fraction=row["from_mass_fraction"],
            with_=row.get("with", ""),
            cautions=tuple(row["cautions"]),
        )
        for row in toml_rows("step_cautions.toml")["row"]
    )
