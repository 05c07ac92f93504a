"""What a ledger has taught of its shop: which learned numbers say something, and what they are
called."""

from tankside.base.messages import said
from tankside.bath.inventory.bath_estimate import Learned
from tankside.bath.inventory.priors import LEARNED, known_prior

_TAUGHT = 0.85
"""Share of the believed width below which a parameter counts as learned [-]: our choice."""


def learned_words(name: str) -> str:
    """What a learned parameter is, in words; that of a product names the product."""
    if name in LEARNED:
        return known_prior(name).name
    kind, _, product = name.partition(" of ")
    if kind == "strength":
        return said("strength of {product} over its label's, relative error", product=product)
    return said("chloride in {product}, as impurity", product=product)


def taught(one: Learned) -> bool:
    """Whether the ledger has narrowed it so far that it says something of this shop."""
    before = one.believed.high - one.believed.low
    return (one.learned.high - one.learned.low) < _TAUGHT * before
