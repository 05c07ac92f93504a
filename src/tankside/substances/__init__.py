"""Substances on the shelf: records, molar masses, hazard statements."""

from tankside.substances.molar_mass import molar_mass
from tankside.substances.records import Hazards, Substance, hazards, substance, substances

__all__ = ["Hazards", "Substance", "hazards", "molar_mass", "substance", "substances"]
