"""The kinds of quantity that the tool reads and writes."""

from enum import Enum


class Kind(Enum):
    """A kind of quantity: its words, its SI unit, and an example of how it is written."""

    LENGTH = ("a length", "m", "40 cm")
    AREA = ("an area", "m^2", "4 dm^2")
    VOLUME = ("a volume", "m^3", "18 L")
    MASS = ("a mass", "kg", "12 g")
    TIME = ("a time", "s", "6 h")
    TEMPERATURE = ("a temperature", "K", "25 degC")
    MASS_CONCENTRATION = ("a mass concentration", "kg/m^3", "75 g/L")
    AMOUNT_CONCENTRATION = ("a concentration by amount", "mol/m^3", "0.1 mol/L")
    DENSITY = ("a density", "kg/m^3", "1.16 g/mL")
    FRACTION = ("a fraction", "1", "96 %")
    CURRENT = ("a current", "A", "3 A")
    CURRENT_DENSITY = ("a current density", "A/m^2", "2 A/dm^2")
    VOLTAGE = ("a voltage", "V", "8 V")
    CONDUCTIVITY = ("a conductivity", "S/m", "50 S/m")
    RESISTANCE = ("a resistance", "ohm", "0.02 ohm")
    SHEET_RESISTANCE = ("a sheet resistance", "ohm", "3 ohm")
    CHARGE = ("a charge", "C", "18 Ah")
    ANGLE = ("an angle", "rad", "30 deg")
    POWER = ("a power", "W", "300 W")
    ENERGY = ("an energy", "J", "0.4 kWh")
    FLOW = ("a flow", "m^3/s", "20 L/min")

    def __init__(self, words: str, si_unit: str, example: str) -> None:
        self.words = words
        self.si_unit = si_unit
        self.example = example
