"""The vessel that a bath is mixed in: what warmth its material stands, and what heat it lets out.

Materials are tables of data/vessels.toml, with those that must not be used and why. Refuses the
latter, and vessels too small to stir in.
"""

from dataclasses import dataclass
from functools import cache

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput, SafetyRefusal, UnknownName
from tankside.base.messages import Quantity
from tankside.base.provenance import Evidence
from tankside.bath.heat import TankShell
from tankside.bath.makeup.numbers import toml_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a vessel is made of.

    limit             the warmest that mixing may get in it [K]
    step              the quickest rise that it stands in one go [K]
    wall_resistance   thermal resistance of its wall where none is stated [m² K W⁻¹]
    strongest_acid    mass fraction of sulfuric acid up to which it may be poured in it [-]
    """

    name: str
    words: str
    limit: float
    step: float
    wall_resistance: float
    strongest_acid: float
    evidence: Evidence
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """The person's vessel, as an upright cylinder or box.

    material          a name of data/vessels.toml
    floor_area        inside [m²]
    height            from floor to brim [m]
    perimeter         of the inside [m]; None takes a square
    limit             the warmest that the person allows [K]; None takes the material's
    wall_resistance   [m² K W⁻¹]; None takes the material's
    open_fraction     share of the surface that no lid covers, 0 to 1
    """

    material: str
    floor_area: float
    height: float
    perimeter: float | None = None
    limit: float | None = None
    wall_resistance: float | None = None
    open_fraction: float = 1.0

    def __post_init__(self) -> None:
        if not (self.floor_area > 0.0 and self.height > 0.0):
            raise BadInput("a vessel has a floor area and a height above zero", where="vessel")
        made = material(self.material)
        if self.limit is not None and self.limit > made.limit:
            raise BadInput(
                "{limit} is above the {most} that a {kind} stands; state less",
                limit=Quantity(self.limit, "degC", decimals=0),
                most=Quantity(made.limit, "degC", decimals=0),
                kind=made.words,
                where="vessel limit",
            )

    @property
    def capacity(self) -> float:
        """Volume to the brim [m³]."""
        return self.floor_area * self.height

    @property
    def warmest(self) -> float:
        """The warmest that mixing may get in it [K]."""
        return material(self.material).limit if self.limit is None else self.limit

    def shell(self, liquid_mass: float, heat_capacity: float, filled: float) -> TankShell:
        """The vessel as heat sees it, holding `filled` [m³] of liquid."""
        depth = filled / self.floor_area
        around = 4.0 * self.floor_area**0.5 if self.perimeter is None else self.perimeter
        resistance = self.wall_resistance
        return TankShell(
            liquid_mass=liquid_mass,
            heat_capacity=heat_capacity,
            surface_area=self.floor_area,
            open_fraction=self.open_fraction,
            wall_area=around * depth + self.floor_area,
            wall_height=depth,
            wall_resistance=material(self.material).wall_resistance
            if resistance is None
            else resistance,
        )


def cylinder(material_name: str, *, diameter: float, height: float) -> Vessel:
    """A round vessel of inside diameter and height [m]."""
    pi = 3.141592653589793
    return Vessel(
        material=material_name,
        floor_area=pi * diameter**2 / 4.0,
        height=height,
        perimeter=pi * diameter,
    )


def material(name: str) -> Material:
    """The material of this name. SafetyRefusal for one that must not be used, UnknownName, with
    close names, for one that is not known."""
    refused = toml_rows("vessels.toml")["refused"]
    if name in refused:
        row = refused[name]
        raise SafetyRefusal(
            "no bath is mixed in {name}: {reason}; {instead}",
            name=name,
            reason=row["reason"],
            instead=row["instead"],
            where="vessel",
        )
    if name not in materials():
        raise UnknownName("vessel", name, [*materials(), *refused], where="vessel")
    return materials()[name]


@cache
def materials() -> dict[str, Material]:
    """All materials that a bath may be mixed in, by name."""
    return {
        name: Material(
            name=name,
            words=row["words"],
            limit=row["limit_degC"] + ZERO_CELSIUS_K,
            step=row["step_K"],
            wall_resistance=row["wall_m"] / row["conductivity"],
            strongest_acid=row["strongest_acid"],
            evidence=Evidence(row["evidence"]),
            note=row["note"],
        )
        for name, row in toml_rows("vessels.toml").items()
        if name != "refused"
    }
