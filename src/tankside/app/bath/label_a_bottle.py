"""Use case: what stands on the label of a tank or a bottle, as text."""

from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import concentration_range
from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.bath.shelf_file import bench_of
from tankside.app.bath.tables import tables_of
from tankside.base.errors import BadInput
from tankside.bath.composition import Composition
from tankside.safety.labels import Label, bath_contents, label, product_contents
from tankside.substances import molar_mass
from tankside.substances.products import grade

_ROOM_K = 293.15


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelRequest:
    """What is in the bottle: a bath by its contents as typed, by its ledger, or a product by its
    grade or by its name on a shelf's file. One of these."""

    identifier: str
    copper_sulfate: str = ""
    acid: str = ""
    ledger: LedgerAsked | None = None
    grade: str = ""
    shelf: bytes | str = ""
    shelf_name: str = "shelf"
    product: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelReply:
    """The label; `contents` are mass fractions [-] that it was classified by."""

    label: Label
    contents: dict[str, float]

    def as_json(self) -> dict[str, Any]:
        """All that stands on it."""
        return {
            "identifier": self.label.identifier,
            "signal_word": self.label.signal_word,
            "pictograms": [
                {"id": one.id, "name": one.name, "symbol": one.symbol}
                for one in self.label.pictograms
            ],
            "hazards": [{"code": one.code, "text": one.text} for one in self.label.hazards],
            "precautions": [{"code": one.code, "text": one.text} for one in self.label.precautions],
            "mass_fractions": self.contents,
            "notes": list(self.label.notes),
        }


@within_laws
def label_a_bottle(request: LabelRequest) -> LabelReply:
    """The label of what is in a tank or bottle."""
    contents = _contents(request)
    return LabelReply(label=label(request.identifier, contents), contents=contents)


def _contents(request: LabelRequest) -> dict[str, float]:
    typed = bool(request.copper_sulfate or request.acid)
    ways = [typed, request.ledger is not None, bool(request.grade), bool(request.product)]
    if sum(ways) != 1:
        raise BadInput(
            "say what is in it in one way: --copper-sulfate and --acid, --ledger, --grade, or "
            "--shelf with --product",
            where="label",
        )
    if typed:
        return bath_contents(_composition(request), _ROOM_K)
    if request.ledger is not None:
        estimate = read_ledger(request.ledger).estimate
        return bath_contents(estimate.composition, _ROOM_K)
    if request.grade:
        return product_contents(grade(request.grade))
    if not request.shelf:
        raise BadInput("a product by name needs --shelf, the file that it stands in",
                       where="--product")  # fmt: skip
    where = request.shelf_name
    bench = bench_of(tables_of(request.shelf, where=where), where=where)
    return product_contents(bench.product(request.product, where="--product"))


def _composition(request: LabelRequest) -> Composition:
    salt = acid = 0.0
    if request.copper_sulfate:
        salt = concentration_range(
            request.copper_sulfate,
            where="--copper-sulfate",
            molar_mass=molar_mass("CuSO4·5H2O"),
        ).high
    if request.acid:
        acid = concentration_range(
            request.acid, where="--acid", molar_mass=molar_mass("H2SO4")
        ).high
    return Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
