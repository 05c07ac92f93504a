"""Events of a ledger from entries as typed: `top-up water="tap water" volume="500 mL"`.

Each kind of event has its keys; a portion of a make-up is keyed by its product. Amounts of a liquid
may be typed as volumes. A spread ("18 ± 0.3 L") is taken as nine times in ten.
"""

from collections.abc import Callable
from dataclasses import dataclass

from tankside.app.bath.entries import Entries
from tankside.app.bath.typed_findings import MOLAR, typed_finding
from tankside.app.bath.typed_products import additive_product, amount, product_of
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind
from tankside.bath.analysis.finding import QUANTITIES
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.text import WORDS
from tankside.substances.labels import ENTRIES
from tankside.substances.products import Product

KEYS: dict[str, tuple[str, ...]] = {
    "bottle": (*ENTRIES, "additive"),
    "make-up": ("level",),
    "take-over": ("volume", "copper", "sulfuric_acid", "chloride", "additive"),
    "addition": ("product", "amount"),
    "top-up": ("water", "volume", "level"),
    "evaporation": ("duration", "temperature", "surface", "room", "humidity", "level"),
    "drag-out": ("area", "parts"),
    "ampere-hours": ("charge",),
    "idle": ("duration", "anode_area"),
    "analysis": ("copper", "sulfuric_acid", "chloride", "density", "conductivity", "pH",
                 "temperature", "method"),
    "carbon": (),
    "withdrawal": ("volume",),
    "loss": ("volume",),
    "retraction": ("of", "reason"),
}  # fmt: skip
"""What may be typed of each kind of event, beside `at` and `id`."""

EXAMPLES = {
    "bottle": 'grade="tap water"',
    "make-up": '"blue crystals=2.02 kg" "distilled water=7.9 kg" level="10 L"',
    "take-over": 'volume="18 ± 0.3 L" copper="52 ± 3 g/L" sulfuric_acid="58 ± 4 g/L"',
    "addition": 'product="battery acid" amount="120 mL"',
    "top-up": 'water="distilled water" volume="500 mL" level="18 L"',
    "evaporation": 'level="17.4 L"',
    "drag-out": 'area="6 dm^2"',
    "ampere-hours": 'charge="18 Ah"',
    "idle": 'duration="60 h" anode_area="8 dm^2"',
    "analysis": 'copper="51.2 ± 1.2 g/L"',
    "carbon": "",
    "withdrawal": 'volume="1.5 L"',
    "loss": 'volume="300 ± 100 mL"',
    "retraction": 'of="top-up-2026-03-01" reason="wrong tank"',
}
"""How each is typed, for the error's sentence and the help."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """An event as typed: kind, entries, time [s since 1970-01-01 UTC], id, and the product of a
    name, which may raise UnknownName."""

    kind: str
    entries: Entries
    at: float
    id: str
    product: Callable[[str], Product]


def event_of(typed: Typed) -> ev.Event:
    """The event; BadInput for what is malformed, UnknownName offers close names."""
    if typed.kind not in KEYS:
        raise UnknownName("kind of event", typed.kind, WORDS)
    if typed.kind != "make-up":
        typed.entries.only(*KEYS[typed.kind], what=f"key of a {typed.kind}")
    _refuse_empty(typed)
    return _READERS[typed.kind](typed)


def bottle_product(entries: Entries) -> tuple[Product, bool]:
    """The product of a bottle's label, and whether it is an additive: one of which no substance is
    named."""
    additive = entries.switch("additive")
    label = Entries(
        table={key: one for key, one in entries.table.items() if key != "additive"},
        where=entries.where,
    )
    if additive and "substance" not in label and "grade" not in label:
        return additive_product(label), True
    return product_of(label), additive


def _refuse_empty(typed: Typed) -> None:
    if not typed.entries.table and KEYS[typed.kind]:
        raise BadInput(
            "a {kind} needs its numbers; write for example {kind} {example}",
            kind=typed.kind,
            example=EXAMPLES[typed.kind],
        )


def _bottle(typed: Typed) -> ev.Event:
    product, additive = bottle_product(typed.entries)
    return ev.Bottle(at=typed.at, id=typed.id, product=product, additive=additive)


def _make_up(typed: Typed) -> ev.Event:
    entries = typed.entries
    portions = []
    for name in entries.table:
        if name in KEYS["make-up"]:
            continue
        product = typed.product(name)
        mass, std = _amount(entries, name, product)
        portions.append(ev.Portion(product=product.name, mass=mass, mass_std=std))
    level, level_std = _level(entries)
    return ev.MakeUp(at=typed.at, id=typed.id, portions=tuple(portions), level_volume=level,
                     level_std=level_std)  # fmt: skip


def _take_over(typed: Typed) -> ev.Event:
    entries = typed.entries
    volume = entries.range("volume", Kind.VOLUME)
    held: dict[str, float] = {}
    for name, usual in (("copper", 0.0), ("sulfuric_acid", 0.0), ("chloride", 0.5),
                        ("additive", 0.5)):  # fmt: skip
        if name in entries:
            value = entries.concentration(name, MOLAR.get(name))
            held[name], held[f"{name}_std"] = value.best, _std(value, max(usual, 0.05))
        elif name in ("copper", "sulfuric_acid"):
            raise BadInput(
                "say what it holds of {name}, such as {key}='52 ± 3 g/L'; analyse it first "
                "where nobody knows",
                name=name.replace("_", " "),
                key=name,
                where=entries.where,
            )
    return ev.TakeOver(at=typed.at, id=typed.id, volume=volume.best,
                       volume_std=_std(volume, 0.02), **held)  # fmt: skip


def _addition(typed: Typed) -> ev.Event:
    product = typed.product(typed.entries.text("product"))
    mass, std = _amount(typed.entries, "amount", product)
    return ev.Addition(at=typed.at, id=typed.id, product=product.name, mass=mass, mass_std=std)


def _top_up(typed: Typed) -> ev.Event:
    entries = typed.entries
    water = typed.product(entries.text("water"))
    volume, std = _volume(entries, "volume")
    level, level_std = _level(entries)
    return ev.TopUp(at=typed.at, id=typed.id, water=water.name, volume=volume, volume_std=std,
                    level_volume=level, level_std=level_std)  # fmt: skip


def _evaporation(typed: Typed) -> ev.Event:
    entries = typed.entries
    level, level_std = _level(entries)
    return ev.Evaporation(
        at=typed.at,
        id=typed.id,
        duration=entries.maybe("duration", Kind.TIME, zero=True) or 0.0,
        temperature=entries.quantity("temperature", Kind.TEMPERATURE, "25 degC"),
        surface_area=entries.maybe("surface", Kind.AREA, zero=True) or 0.0,
        room_temperature=entries.quantity("room", Kind.TEMPERATURE, "22 degC"),
        relative_humidity=share(entries, "humidity", "50 %"),
        level_volume=level,
        level_std=level_std,
    )


def _drag_out(typed: Typed) -> ev.Event:
    text = typed.entries.text("parts", "1").strip()
    if not text.isdecimal() or int(text) < 1:
        raise BadInput(
            "{text!r} is no number of parts; write a whole one from 1 up",
            text=text,
            where=typed.entries.place("parts"),
        )
    return ev.DragOut(at=typed.at, id=typed.id,
                      area=typed.entries.quantity("area", Kind.AREA), parts=int(text))  # fmt: skip


def _ampere_hours(typed: Typed) -> ev.Event:
    return ev.AmpereHours(at=typed.at, id=typed.id,
                          charge=typed.entries.quantity("charge", Kind.CHARGE))  # fmt: skip


def _idle(typed: Typed) -> ev.Event:
    return ev.Idle(
        at=typed.at,
        id=typed.id,
        duration=typed.entries.quantity("duration", Kind.TIME),
        anode_area=typed.entries.quantity("anode_area", Kind.AREA),
    )


def _analysis(typed: Typed) -> ev.Event:
    entries = typed.entries
    found = [typed_finding(entries, name) for name in QUANTITIES if name in entries]
    if not found:
        raise BadInput("an analysis needs a number; write for example copper='51.2 ± 1.2 g/L'",
                       where=entries.where)  # fmt: skip
    return ev.Analysis(at=typed.at, id=typed.id, findings=tuple(found))


def _carbon(typed: Typed) -> ev.Event:
    return ev.Carbon(at=typed.at, id=typed.id)


def _withdrawal(typed: Typed) -> ev.Event:
    volume, std = _volume(typed.entries, "volume")
    return ev.Withdrawal(at=typed.at, id=typed.id, volume=volume, volume_std=std)


def _loss(typed: Typed) -> ev.Event:
    volume, std = _volume(typed.entries, "volume")
    return ev.Loss(at=typed.at, id=typed.id, volume=volume,
                   volume_std=0.3 * volume if std is None else std)  # fmt: skip


def _retraction(typed: Typed) -> ev.Event:
    return ev.Retraction(at=typed.at, id=typed.id, of=typed.entries.text("of"),
                         reason=typed.entries.text("reason", ""))  # fmt: skip


def share(entries: Entries, key: str, default: str) -> float:
    """A share from 0 to 1 [-]; BadInput beyond."""
    found = entries.quantity(key, Kind.FRACTION, default, zero=True)
    if found > 1.0:
        raise BadInput(
            "{text!r} is more than all of it", text=entries.text(key), where=entries.place(key)
        )
    return found


def _amount(entries: Entries, key: str, product: Product) -> tuple[float, float | None]:
    """A mass [kg] with its standard deviation, None where no spread is typed."""
    from tankside.app.bath.entries import ranged

    place = entries.place(key)
    value = ranged(entries.text(key), lambda one: amount(one, product, where=place), where=place)
    if value.best <= 0.0:
        raise BadInput(
            "{text!r} of {product!r} is nothing",
            text=entries.text(key),
            product=product.name,
            where=place,
        )
    return value.best, _std_or_none(value)


def _volume(entries: Entries, key: str) -> tuple[float, float | None]:
    value = entries.range(key, Kind.VOLUME)
    if value.best <= 0.0:
        raise BadInput(
            "{text!r}: a volume here is above zero",
            text=entries.text(key),
            where=entries.place(key),
        )
    return value.best, _std_or_none(value)


def _level(entries: Entries) -> tuple[float | None, float | None]:
    return _volume(entries, "level") if "level" in entries else (None, None)


def _std(value: Interval, usual: float) -> float:
    """One standard deviation of what was typed; the fraction `usual` of it where no spread was."""
    return _std_or_none(value) or usual * value.best


def _std_or_none(value: Interval) -> float | None:
    return value.deviation if value.high > value.low else None


_READERS: dict[str, Callable[[Typed], ev.Event]] = {
    "bottle": _bottle,
    "make-up": _make_up,
    "take-over": _take_over,
    "addition": _addition,
    "top-up": _top_up,
    "evaporation": _evaporation,
    "drag-out": _drag_out,
    "ampere-hours": _ampere_hours,
    "idle": _idle,
    "analysis": _analysis,
    "carbon": _carbon,
    "withdrawal": _withdrawal,
    "loss": _loss,
    "retraction": _retraction,
}
