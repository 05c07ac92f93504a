"""A rig as plain values, the unit in each key: what its drawing's tables say."""

from typing import Any

from tankside.cell.bodies import Cell
from tankside.cell.hung import HungBody, HungContact, hung


def rig_json(cell: Cell) -> dict[str, Any]:
    """Tank, bodies and contacts, with their distances from walls, floor and liquid."""
    rig = hung(cell)
    low, high = rig.low, rig.high
    return {
        "tank": {
            "round": rig.round,
            "left_to_right_m": float(high[0] - low[0]),
            "front_to_back_m": float(high[1] - low[1]),
            "height_m": rig.rim,
            "liquid_depth_m": rig.liquid_depth,
        },
        "bodies": [_body(body) for body in rig.bodies],
        "contacts": [_contact(contact) for contact in rig.contacts],
    }


def _body(body: HungBody) -> dict[str, Any]:
    nearest = None
    if body.nearest is not None:
        nearest = {"name": body.nearest[0], "distance_m": body.nearest[1]}
    return {
        "mark": body.mark,
        "name": body.name,
        "shape": body.shape,
        "size_m": list(body.size),
        "from_left_m": body.from_left,
        "from_front_m": body.from_front,
        "top_under_liquid_m": body.under_liquid,
        "bottom_over_floor_m": body.above_floor,
        "to_wall_m": body.to_wall,
        "nearest": nearest,
    }


def _contact(contact: HungContact) -> dict[str, Any]:
    return {
        "number": contact.number,
        "part": contact.part,
        "place": contact.place,
        "from_left_m": contact.from_left,
        "from_front_m": contact.from_front,
        "under_liquid_m": contact.under_liquid,
        "over_floor_m": contact.above_floor,
        "wire_diameter_m": contact.wire_diameter,
        "wire_in_liquid_m": contact.wet_length,
        "coated": contact.insulated,
    }
