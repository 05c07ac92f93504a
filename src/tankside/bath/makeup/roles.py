"""What each product does in the vessel, and the order that follows: old bath and water, acid into
them, what needs acid to dissolve, copper sulfate, the rest, chloride, the mark, and the additive
last and cold.

A person's own order is followed where it is safe. Water onto strong acid, acid into little or hot
water, acid onto carbonate, and acid before any water are refused, each with the safe way out.
"""

from dataclasses import dataclass
from enum import IntEnum

from tankside.base.errors import Impossible, SafetyRefusal, UnknownName
from tankside.base.messages import Quantity
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.vessels import Vessel, material
from tankside.bath.mixture import Mixture, mixed, portion
from tankside.substances.products import Form, Product


class Role(IntEnum):
    """What a product does, in the order in which it goes in."""

    OLD_BATH = 0
    WATER = 1
    ACID = 2
    OXIDANT = 3
    NEEDS_ACID = 4
    COPPER = 5
    SOLID = 6
    CHLORIDE = 7
    FILLING = 8
    ADDITIVE = 9


OLD_BATH = "old bath"
"""How an order names the bath that is there already."""

HOT_WATER = 308.15
"""Water above 35 °C is no place for strong acid: our guess, a margin under the usual limits [K]."""

_NEEDS_ACID = ("copper oxide", "basic copper carbonate", "copper hydroxide", "copper")
_FOAMS = ("basic copper carbonate", "sodium carbonate", "sodium bicarbonate")
_ACIDS = ("sulfuric acid", "acetic acid")
_CHLORIDES = ("sodium chloride", "hydrochloric acid")
_COPPER = ("copper sulfate pentahydrate", "copper sulfate", "copper acetate monohydrate")
_TRACE = 0.01
_STRONG_ACETIC = 0.25
_STRONG_PEROXIDE = 0.08
_FOAMING = (
    "acid poured onto {poured!r} foams over and is thrown about; put the acid into water first, "
    "then the carbonate by spoonfuls"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """One product on its way into the vessel: its name, role, mass [kg], and what it becomes.

    `temperature` of it is that of the room's start [K].
    """

    name: str
    role: Role
    mass: float
    becomes: Mixture
    product: Product | None = None

    @property
    def acid_fraction(self) -> float:
        """Sulfuric acid by mass [-]."""
        whole = self.becomes.mass
        return self.becomes.of("sulfuric acid") / whole if whole else 0.0


def role_of(product: Product) -> Role:
    """What a product does, by what it holds most of."""
    held = {one.substance: one.mass_fraction.best for one in product.contents}
    held.pop("water", None)
    if not held or max(held.values()) < _TRACE:
        return Role.WATER
    main = max(held, key=lambda name: held[name])
    if main in _CHLORIDES:
        return Role.CHLORIDE
    if main == "hydrogen peroxide":
        return Role.OXIDANT
    if main in _NEEDS_ACID:
        return Role.NEEDS_ACID
    if main in _ACIDS and product.form is Form.LIQUID:
        return Role.ACID
    return Role.COPPER if main in _COPPER else Role.SOLID


def addition(product: Product, mass: float, role: Role | None = None) -> Addition:
    """A product as it goes in."""
    return Addition(
        name=product.name,
        role=role_of(product) if role is None else role,
        mass=mass,
        becomes=portion(product, mass),
        product=product,
    )


def ordered(additions: tuple[Addition, ...], wish: tuple[str, ...] | None) -> tuple[Addition, ...]:
    """The additions in the order in which they go in: ours, or the person's own.

    Of what the order leaves out, old bath and water go in before it, the rest after it. UnknownName
    for a name that is none of the additions'.
    """
    ours = tuple(sorted(additions, key=lambda one: one.role))
    if wish is None:
        return ours
    names = {one.name for one in additions}
    for name in wish:
        if name not in names:
            raise UnknownName("product", name, names, where="order")
    place = {name: number for number, name in enumerate(wish)}
    last = len(wish)
    movable = [one for one in ours if one.role not in (Role.FILLING, Role.ADDITIVE)]
    fixed = [one for one in ours if one.role in (Role.FILLING, Role.ADDITIVE)]

    def number(one: Addition) -> int:
        first = one.role in (Role.OLD_BATH, Role.WATER)
        return place.get(one.name, -1 if first else last)

    return (*sorted(movable, key=number), *fixed)


def refuse_dangerous_order(additions: tuple[Addition, ...], vessel: Vessel, start: float) -> None:
    """SafetyRefusal where an addition meets a vessel that it must not, Impossible where it would
    only not dissolve. `start` is the temperature of the water [K]."""
    held = Mixture(masses={})
    for one in additions:
        if one.role is Role.ACID:
            _check_acid(held, one, start, vessel)
        elif one.role in (Role.WATER, Role.OLD_BATH, Role.FILLING):
            _check_onto_acid(held, one)
        elif one.role is Role.OXIDANT and held.of("copper") > 0.0:
            raise SafetyRefusal(
                "{name!r} onto copper metal in acid runs away hot; put the peroxide into the acid "
                "first, and the copper into it in portions",
                name=one.name,
                where="order",
            )
        elif one.role is Role.OXIDANT:
            _check_peroxide(held, one)
        elif _foams(one.becomes) and not _acid(held):
            raise SafetyRefusal(_FOAMING, poured=one.name, where="order")
        elif one.role is Role.NEEDS_ACID and not _acid(held):
            raise Impossible(
                "{name!r} does not dissolve in water, only in acid; put the acid into the water "
                "first",
                name=one.name,
                where="order",
            )
        elif held.of("water") <= 0.0:
            raise Impossible(
                "{name!r} has no water to dissolve in yet; put the water in first",
                name=one.name,
                where="order",
            )
        held = mixed(held, one.becomes)


def _check_acid(held: Mixture, acid: Addition, start: float, vessel: Vessel) -> None:
    water = held.of("water")
    if _foams(held):
        raise SafetyRefusal(_FOAMING, poured="carbonate", where="order")
    if water <= 0.0:
        raise SafetyRefusal(
            "{acid!r} comes before any water: whatever is poured onto acid boils and spits; put "
            "the water in first, then the acid into it in portions",
            acid=acid.name,
            where="order",
        )
    if start > min(HOT_WATER, vessel.warmest):
        raise SafetyRefusal(
            "{acid!r} into water at {start} comes near the boil where it falls in; let the water "
            "cool to {hot_water} or less",
            acid=acid.name,
            start=Quantity(start, "degC"),
            hot_water=Quantity(min(HOT_WATER, vessel.warmest), "degC"),
            where="order",
        )
    made = material(vessel.material)
    if acid.acid_fraction > made.strongest_acid:
        raise SafetyRefusal(
            "{acid!r} is not poured in a vessel of this kind ({made}): where it falls in it may "
            "crack or soften it; take one of polypropylene or HDPE, or acid of "
            "{strongest_acid:.0f} % or less",
            acid=acid.name,
            made=made.words,
            strongest_acid=100.0 * made.strongest_acid,
            where="vessel",
        )
    after = mixed(held, acid.becomes)
    share = after.of("sulfuric acid") / after.mass
    limit = allowance("strong_acid_from").best
    if share > limit and acid.acid_fraction > limit:
        least = acid.becomes.of("sulfuric acid") / limit - held.mass - acid.mass
        raise SafetyRefusal(
            "{mass} of {acid!r} into {water} of water makes {share:.0f} % acid, hot and stronger "
            "than any bath; put at least {least} more of the water in first",
            mass=Quantity(acid.mass, "g"),
            acid=acid.name,
            water=Quantity(water, "g"),
            share=100.0 * share,
            least=Quantity(max(least, 0.0), "g"),
            where="order",
        )


def _check_onto_acid(held: Mixture, poured: Addition) -> None:
    if held.mass <= 0.0:
        return
    share = held.of("sulfuric acid") / held.mass
    if share > max(poured.acid_fraction, allowance("strong_acid_from").best):
        raise SafetyRefusal(
            "{poured!r} onto {share:.0f} % acid boils where it falls and throws acid; put it in "
            "first, and the acid into it in portions",
            poured=poured.name,
            share=100.0 * share,
            where="order",
        )


def _check_peroxide(held: Mixture, poured: Addition) -> None:
    """Strong peroxide and strong acetic acid make peracetic acid."""
    acetic = held.of("acetic acid") / held.mass if held.mass > 0.0 else 0.0
    peroxide = poured.becomes.of("hydrogen peroxide") / poured.becomes.mass
    if acetic > _STRONG_ACETIC and peroxide > _STRONG_PEROXIDE:
        raise SafetyRefusal(
            "{poured!r} into {acetic:.0f} % acetic acid makes peracetic acid, which can explode; "
            "thin the acid below {strong_acetic:.0f} % with water first, or take peroxide of 3 to "
            "8 %",
            poured=poured.name,
            acetic=100.0 * acetic,
            strong_acetic=100.0 * _STRONG_ACETIC,
            where="order",
        )


def _foams(held: Mixture) -> bool:
    return any(held.of(name) > 0.0 for name in _FOAMS)


def _acid(held: Mixture) -> bool:
    return any(held.of(name) > 0.0 for name in ("sulfuric acid", "acetic acid", "citric acid"))
