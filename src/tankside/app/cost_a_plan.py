"""Use case: what a plan would cost before it is carried out, from its reply and a few prices.

Copper by the charge; plating energy by charge and voltage at the end, through the supply; what
holds the bath warm; the coat by the part's area where it has one. Hands, chemicals and scrap are of
a run.
"""

from collections.abc import Mapping
from typing import Any

from tankside.app.cost_a_run import SUPPLY_EFFICIENCY, check_prices
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.runs.costs import Prices, RunCost, Spent, cost_of

PRICES = ("copper", "electricity", "coat", "work")


def cost_of_plan(reply: Mapping[str, Any], typed: Mapping[str, str]) -> RunCost:
    """The cost at these prices, as typed by name; what was given no price is named as missing.
    BadInput, placed at the price, where one cannot be read."""
    found = check_prices({name: typed.get(name, "") for name in PRICES})
    seconds = 3600.0 * float(reply["hours"])
    charge = 3600.0 * float(reply.get("charge_Ah") or 0.0)
    volts = float((reply.get("voltage_V") or {}).get("total") or 0.0)
    holding = (reply.get("heat") or {}).get("holding_power_W") or {}
    spent = Spent(
        copper=charge * COPPER_PER_CHARGE_KG_PER_C,
        plating=charge * volts / SUPPLY_EFFICIENCY,
        heater=max(float(holding.get("best") or 0.0), 0.0) * seconds,
        coat=float(reply.get("area_m2") or 0.0) if reply.get("start") else 0.0,
    )
    currency = next((currency for _, currency in found.values() if currency), "")
    prices = Prices(currency=currency, **{name: price for name, (price, _) in found.items()})
    return cost_of(spent, prices, title=str(reply.get("made_by", "")), at=1.0)
