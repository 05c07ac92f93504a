"""The windows that a ledger's bath is laid beside, and whose they are."""

from tankside.app.bath.entries import Entries
from tankside.base.errors import BadInput
from tankside.bath.composition import Composition
from tankside.bath.families import family, nearest_family
from tankside.bath.inventory.windows import Windows, windows_of


def ledger_windows(entries: Entries | None, family_name: str, bath: Composition,
                   temperature: float) -> tuple[Windows, str]:  # fmt: skip
    """Windows in the ledger's quantities, and whose they are: those of a [target], of a family, or
    of the published family nearest to the bath."""
    if entries is not None:
        # only here, as the make-up brings an optimiser along that most answers need not wait for
        from tankside.app.bath.target_file import own_windows

        found, whose = own_windows(entries)
        if found:
            return found, whose
    if family_name:
        kind = family(family_name)
        if kind.kind != "acid sulfate":
            raise BadInput(
                "the ledger follows copper, sulfuric acid and chloride, and {kind!r} is a "
                "weak-acid bath; name an acid sulfate family",
                kind=kind.words,
                where="--family",
            )
        return windows_of(kind), kind.words
    nearest = nearest_family(bath, temperature)
    return windows_of(nearest), f"{nearest.words}, the nearest published family"
