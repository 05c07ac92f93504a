"""What is refused before anything is computed: slips of unit and name, wrong products, a vessel
that is too small.
"""

from tankside.base.errors import Impossible, SafetyRefusal
from tankside.base.messages import Quantity
from tankside.bath import slips
from tankside.bath.makeup.request import MakeUpRequest, Wanted, quantities
from tankside.bath.makeup.wrong_products import refuse_wrong_products
from tankside.bath.solubility import HIGHEST_ACID
from tankside.substances.products import Form

ROOM_TO_STIR = 0.95
"""Most of a vessel that a bath may fill [-]: common practice, no source."""


def guarded(request: MakeUpRequest) -> None:
    """BadInput for a slip, SafetyRefusal for a dangerous product or strength, Impossible for an
    unfit product or a vessel that cannot hold the bath."""
    slips.refuse_odd_volume(request.volume)
    for one in request.target.wanted:
        _guard_quantity(one)
    for additive in request.additives:
        slips.refuse_much_additive(
            additive.product.name, additive.dose, liquid=additive.product.form is Form.LIQUID
        )
    products = [one.product for one in request.shelf]
    refuse_wrong_products([*products, *(one.product for one in request.additives)])
    for product in products:
        slips.refuse_hydrate_slip(product)
        slips.refuse_percent_slip(product)
    most = request.vessel.capacity * ROOM_TO_STIR
    if request.volume > most:
        raise Impossible(
            "{volume} of bath do not fit a vessel of {capacity} with room to stir; make {most} or "
            "less, or take a larger one",
            volume=Quantity(request.volume, "L", 4),
            capacity=Quantity(request.vessel.capacity, "L", 4),
            most=Quantity(most, "L"),
            where="vessel",
        )


def _guard_quantity(one: Wanted) -> None:
    ion, _ = quantities()[one.quantity]
    if ion == "chloride":
        slips.refuse_much_chloride(one.value.best, where="target")
    elif ion in ("copper ion", "citrate", "acetate") or one.quantity == "sulfuric acid":
        slips.refuse_little_solute(one.quantity, one.value.best, where="target")
        slips.refuse_much_solute(one.quantity, one.value.best, where="target")
    if one.quantity == "sulfuric acid" and one.value.best > HIGHEST_ACID:
        raise SafetyRefusal(
            "{value} of sulfuric acid is far above any copper bath and dangerous to mix; the "
            "richest published baths hold 225 g/L",
            value=Quantity(one.value.best, "g/L", decimals=0),
            where="target",
        )
