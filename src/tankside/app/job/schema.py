"""The job file's schema: every table and key of the open contract, with what each means.

Values are SI once read. Unknown keys are refused, because a misspelt key that is ignored is a part
that is lost.
"""

from difflib import get_close_matches
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Discriminator, Field, Tag, model_validator

from tankside.app.job.bodies import Anode, Shield, Tank, Thief
from tankside.app.job.fields import (
    Concentration,
    Conductivity,
    Current,
    CurrentDensity,
    Density,
    Direction,
    Length,
    Paint,
    Point,
    Resistance,
    Table,
    Temperature,
    Voltage,
)
from tankside.bath.weak_acid import FAMILIES as WEAK_ACID_FAMILIES


class BathBase(Table):
    """What all baths have."""

    TAG: ClassVar[str] = ""

    chloride: Concentration = 0.0
    temperature: Temperature
    agitation: str | None = None
    boundary_layer: Length | None = None
    conductivity: Conductivity | None = Field(
        default=None, description="measured in this bath; replaces the computed one"
    )

    @model_validator(mode="after")
    def _one_layer(self) -> Self:
        if (self.agitation is None) == (self.boundary_layer is None):
            raise ValueError("give either agitation or boundary_layer")
        return self


class AcidSulfateBath(BathBase):
    """Copper sulfate with sulfuric acid."""

    TAG = "acid sulfate"

    family: str = Field(default="acid sulfate", json_schema_extra={"enum": ["acid sulfate"]})
    copper_sulfate_pentahydrate: Concentration
    sulfuric_acid: Concentration


class WeakAcidBath(BathBase):
    """A citrate or acetate bath: what was put in, per volume of finished bath.

    Acids are pure and count what the copper has bound; citric acid is anhydrous.
    """

    TAG = "weak acid"

    family: str = Field(json_schema_extra={"enum": list(WEAK_ACID_FAMILIES)})
    copper_sulfate_pentahydrate: Concentration = 0.0
    copper_acetate_monohydrate: Concentration = 0.0
    dissolved_copper: Concentration = Field(
        default=0.0, description="metal taken up by acid with peroxide"
    )
    acetic_acid: Concentration = 0.0
    citric_acid: Concentration = 0.0
    sodium_citrate_dihydrate: Concentration = 0.0
    sodium_sulfate: Concentration = 0.0
    sodium_hydroxide: Concentration = 0.0
    sulfuric_acid: Concentration = 0.0


def _bath_tag(given: Any) -> str:
    """Which of the two a [bath] table is meant as; a misspelt family by its nearest name."""
    family = given.get("family", "") if isinstance(given, dict) else getattr(given, "family", "")
    kinds = {**dict.fromkeys(WEAK_ACID_FAMILIES, WeakAcidBath.TAG), "acid sulfate": ""}
    near = get_close_matches(str(family), kinds, n=1, cutoff=0.6)
    return (kinds[near[0]] if near else "") or AcidSulfateBath.TAG


Bath = Annotated[
    Annotated[AcidSulfateBath, Tag(AcidSulfateBath.TAG)]
    | Annotated[WeakAcidBath, Tag(WeakAcidBath.TAG)],
    Discriminator(_bath_tag),
]


_FEWEST_READINGS = 3


class CoatReading(Table):
    """What a multimeter shows between two places on a dry coat, as the part will hang."""

    between: tuple[Point, Point]
    reads: Resistance


class SeedRegion(Table):
    """A ball or a box of the part, in the coordinates of its file, that is painted otherwise: its
    own sheet resistance (or readings, both tips in it), or `bare`. Later regions lie on top."""

    centre: Point | None = None
    radius: Length | None = None
    box: tuple[Point, Point] | None = Field(default=None, description="two opposite corners")
    sheet_resistance: Paint | None = None
    readings: tuple[CoatReading, ...] = ()
    bare: bool = False
    brush: Direction | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "SeedRegion":
        if (self.centre is None) != (self.radius is None):
            raise ValueError("a ball needs both centre and radius")
        if (self.centre is None) == (self.box is None):
            raise ValueError("give either centre and radius, or box")
        given = (self.sheet_resistance is not None, bool(self.readings), self.bare)
        if sum(given) != 1:
            raise ValueError("give one of sheet_resistance, readings and bare = true")
        _enough(self.readings)
        return self


class Seed(Table):
    """A conductive coat on a part that does not conduct: its sheet resistance, or readings to infer
    it from; `leads` is what the meter shows with its tips held together. `brush` is the direction
    of the strokes in the coordinates of the part's file, `across` the sheet resistance square to
    them over that along them. `region` is what was painted otherwise."""

    sheet_resistance: Paint | None = None
    readings: tuple[CoatReading, ...] = ()
    leads: Resistance | None = None
    brush: Direction | None = None
    across: float = Field(default=1.0, gt=0.0, le=100.0)
    region: tuple[SeedRegion, ...] = ()

    @model_validator(mode="after")
    def _one_way(self) -> "Seed":
        if (self.sheet_resistance is None) == (not self.readings):
            raise ValueError("give either sheet_resistance or readings")
        _enough(self.readings)
        brushed = self.brush is not None or any(region.brush for region in self.region)
        if brushed != (self.across != 1.0):
            raise ValueError(
                "brush says along what the strokes run and across what they change: give both"
            )
        return self


def _enough(readings: tuple[CoatReading, ...]) -> None:
    if readings and len(readings) < _FEWEST_READINGS:
        raise ValueError(
            f"{len(readings)} readings do not tell how far they scatter; "
            f"give {_FEWEST_READINGS} or more"
        )


class Print(Table):
    """How the part is made, for its weight and whether it floats."""

    density: Density = 1240.0
    infill: float = Field(default=1.0, ge=0.0, le=1.0, description="filled share of the inside")
    wall: Length = 0.0012


class Part(Table):
    """The part: its file, where the file's origin goes after turning about x, y and z (degrees)."""

    file: str
    unit: str | None = None
    at: Point
    rotate: tuple[float, float, float] = (0.0, 0.0, 0.0)
    surface: Literal["metal"] | None = None
    seed: Seed | None = None
    print: Print | None = None

    @model_validator(mode="after")
    def _one_surface(self) -> "Part":
        if (self.surface is None) == (self.seed is None):
            raise ValueError('give either surface = "metal" or seed = { sheet_resistance = ... }')
        return self


class Contact(Table):
    """A wire that holds and feeds the part, snapped to the part's surface near a point."""

    near: Point
    wire: Length
    part: int = Field(default=1, ge=1)
    via: tuple[Point, ...] = ()
    insulated: bool = False


class SupplyLimits(Table):
    """The bench supply and its leads."""

    current_limit: Current
    voltage_limit: Voltage
    lead_resistance: Resistance | None = None


class Target(Table):
    """What is wanted."""

    thickness: Length
    measured_at: Literal["mean", "thinnest 5 percent"] = "mean"
    current: Current | None = None
    current_density: CurrentDensity | None = None

    @model_validator(mode="after")
    def _one_current(self) -> "Target":
        if self.current is not None and self.current_density is not None:
            raise ValueError("give current or current_density, not both")
        return self


class Room(Table):
    """The air around the tank."""

    air_temperature: Temperature = 293.15
    relative_humidity: float = Field(default=0.5, ge=0.0, le=1.0)


class Detail(Table):
    """How finely to compute."""

    part_panels: int = Field(default=12000, ge=2000, le=50000)


class ShopFile(Table):
    """The shop's own tests, which narrow what is known of its bath."""

    file: str = Field(description="a TOML file of tests, beside the job file")


class Job(Table):
    """A whole job."""

    bath: Bath
    tank: Tank
    anode: Annotated[tuple[Anode, ...], Field(min_length=1)]
    part: Part | Annotated[tuple[Part, ...], Field(min_length=1)]
    contact: Annotated[tuple[Contact, ...], Field(min_length=1)]
    shield: tuple[Shield, ...] = ()
    thief: tuple[Thief, ...] = ()
    supply: SupplyLimits
    goal: Target
    room: Room = Room()
    shop: ShopFile | None = None
    detail: Detail = Detail()

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts, whether one table or several were written."""
        return self.part if isinstance(self.part, tuple) else (self.part,)
