"""The bath: what is in it, its properties with their intervals, its deposit, its heat."""

from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.boundary_layer import AGITATIONS
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.estimate import Estimate
from tankside.bath.evaporation import Room, evaporation_rate, water_activity
from tankside.bath.families import Family, families, family, nearest_family
from tankside.bath.heat import (
    TankShell,
    heat_loss,
    holding_power,
    steady_temperature,
    warm_up_time,
)
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.wagner import wagner_length
from tankside.bath.weak_acid import weak_acid

__all__ = [
    "AGITATIONS",
    "Composition",
    "Electrolyte",
    "Estimate",
    "Family",
    "Room",
    "TankShell",
    "WeakAcidRecipe",
    "acid_sulfate",
    "evaporation_rate",
    "families",
    "family",
    "heat_loss",
    "holding_power",
    "mass_fractions",
    "nearest_family",
    "steady_temperature",
    "wagner_length",
    "warm_up_time",
    "water_activity",
    "weak_acid",
]
