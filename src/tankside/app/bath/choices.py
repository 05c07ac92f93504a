"""What a form can offer: common products, substances, families of baths, by name."""

from tankside.bath.families import families_of
from tankside.substances.products import grades
from tankside.substances.records import substances


def grade_names() -> tuple[str, ...]:
    """Common products, as they are sold."""
    return tuple(one.name for one in grades())


def substance_names() -> tuple[str, ...]:
    """All substances of the records, by the alphabet."""
    return tuple(sorted(one.name for one in substances()))


def acid_families() -> dict[str, str]:
    """The acid sulfate families by name, each in words; a ledger can follow these."""
    return {one.name: one.words for one in families_of("acid sulfate")}
