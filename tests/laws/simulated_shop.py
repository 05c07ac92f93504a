"""A made-up workshop with a hidden truth, written without the package's bath laws.

Moles and litres are followed in plain numbers: own molar masses, own density (a quadratic fitted to
the open library thermo's mixture law, then off by a hidden per mille or two), own evaporation rate.
Every hidden number is drawn anew for each shop; what the shop writes down is all that the estimator
sees. Hidden numbers are drawn from other shapes than the estimator's (triangles, uniform, gamma).
"""

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.random import Generator
from thermo.electrochem import Laliberte_density

from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    Bottle,
    Carbon,
    DragOut,
    Evaporation,
    Event,
    Idle,
    MakeUp,
    Portion,
    TopUp,
    Withdrawal,
)
from tankside.substances.products import Content, Form, Product

DAY = 86400.0
CU, SALT, ANHYDROUS, ACID, WATER, CL = 63.546, 249.685, 159.609, 98.079, 18.015, 35.453  # g/mol
FARADAY = 96485.332
NOON = 1.7e9

GRADES = {
    "copper sulfate crystals": ("copper sulfate pentahydrate", 0.985, 0.01, Form.SOLID, None),
    "battery acid": ("sulfuric acid", 0.37, 0.008, Form.LIQUID, 1280.0),
    "muriatic acid": ("hydrochloric acid", 0.31, 0.01, Form.LIQUID, 1155.0),
}
"""Substance, stated mass fraction, its 90 % half width, form, density [kg/m3]."""


@dataclass(slots=True)
class Truth:
    """What really is in the tank: moles, grams of additive, grams of water."""

    copper: float = 0.0
    acid: float = 0.0
    chloride: float = 0.0
    additive: float = 0.0
    water: float = 0.0
    dense: float = 1.0
    hidden: dict[str, float] = field(default_factory=dict)

    @property
    def litres(self) -> float:
        salt, acid = self.copper * ANHYDROUS, self.acid * ACID
        mass = salt + acid + self.water
        return mass / (1000.0 * self.dense * density_g_mL(salt / mass, acid / mass))

    @property
    def grams_per_litre(self) -> dict[str, float]:
        v = self.litres
        return {
            "copper": self.copper * CU / v,
            "sulfuric_acid": self.acid * ACID / v,
            "chloride": self.chloride * CL / v,
            "additive": self.additive / v,
            "volume": v / 1000.0,
        }

    def take_out(self, litres: float) -> None:
        left = 1.0 - litres / self.litres
        for name in ("copper", "acid", "chloride", "additive", "water"):
            setattr(self, name, getattr(self, name) * left)


@dataclass(frozen=True, slots=True)
class Shop:
    """A history: what was written down, what is true at its end, which analyses are grossly wrong
    (by id and quantity, with the error over its standard deviation)."""

    ledger: tuple[Event, ...]
    truth: dict[str, float]
    hidden: dict[str, float]
    gross: dict[tuple[str, str], float]


def density_g_mL(salt: float, acid: float) -> float:
    """Density [g/mL] at 25 °C for mass fractions of anhydrous copper sulfate and acid."""
    a = _fitted()
    return float(
        1.0
        / (a[0] + a[1] * salt + a[2] * acid + a[3] * salt**2 + a[4] * salt * acid + a[5] * acid**2)
    )


@cache
def _fitted() -> tuple[float, ...]:
    grid = [(s, a) for s in (1e-6, 0.04, 0.08, 0.13) for a in (1e-6, 0.06, 0.12, 0.2)]
    found = [
        1000.0 / Laliberte_density(298.15, list(pair), ["7758-98-7", "7664-93-9"]) for pair in grid
    ]
    s, a = np.array(grid).T
    basis = np.stack([np.ones_like(s), s, a, s * s, s * a, a * a], axis=1)
    fit, *_ = np.linalg.lstsq(basis, np.array(found), rcond=None)
    assert np.abs(basis @ fit - found).max() < 1.5e-3
    return tuple(fit)


def simulated(seed: int, *, gross: int = 0, size: tuple[float, float] = (6.0, 20.0)) -> Shop:
    """A shop of two to six months; `gross` findings are wrong by `size` standard deviations."""
    return _Workshop(np.random.default_rng(seed), gross, size).run()


class _Workshop:
    def __init__(self, rng: Generator, gross: int, size: tuple[float, float]) -> None:
        self.rng = rng
        self.gross_count, self.gross_size = gross, size
        self.truth = Truth(dense=1.0 + 0.0014 * rng.standard_normal())
        self.litres = rng.uniform(6.0, 40.0)
        self.high_throw = rng.random() < 0.5
        self.tap = rng.random() < 0.5
        self.stock = rng.triangular(0.9, 1.0, 1.1)
        self.titrant = {
            "copper": 1.0 + 0.009 * rng.standard_normal(),
            "sulfuric_acid": 1.0 + 0.012 * rng.standard_normal(),
            "chloride": 1.0 + 0.03 * rng.standard_normal(),
        }
        self.hydrometer = 2.0 * rng.standard_normal()
        self.strength = {
            name: stated + half / 1.645 * rng.standard_normal()
            for name, (_, stated, half, _, _) in GRADES.items()
        }
        self.tap_chloride = rng.uniform(0.012, 0.058)  # g/L, the label says 5 to 65 mg/L
        self.film = float(np.exp(rng.uniform(np.log(25e-6), np.log(200e-6))))  # m
        self.mismatch = rng.triangular(-0.012, 0.01, 0.03)
        self.idle = float(np.exp(rng.uniform(np.log(1.2e-8), np.log(2e-7))))  # kg/(m2 s)
        self.fade = float(np.exp(rng.uniform(np.log(3.5e-9), np.log(2e-8)))) * 1000.0  # L/C
        self.evaporation = rng.uniform(0.65, 1.45)
        self.notes_hours = rng.random() < 0.75  # a quarter note top-ups and levels alone
        self.surface = self.litres**0.67 * 0.0115  # m2
        self.events: list[Event] = []
        self.findings: list[tuple[int, str, float]] = []
        self.number = 0

    def note(self, kind: type[Event], at: float, **what: object) -> str:
        self.number += 1
        name = f"e{self.number:05}"
        self.events.append(kind(at=at, id=name, **what))  # type: ignore[arg-type]
        return name

    def run(self) -> Shop:
        rng = self.rng
        self.shelve()
        self.make_up()
        days = int(rng.integers(60, 180))
        every = int(rng.integers(5, 16))
        for day in range(1, days + 1):
            at = NOON + day * DAY
            self.weather(at)
            if rng.random() < 0.6:
                self.work(at + 3600.0)
            if rng.random() < 0.02:
                self.truth.take_out(rng.uniform(0.0, 0.006) * self.truth.litres)  # nobody noted it
            if self.truth.litres < 0.96 * self.litres:
                self.top_up(at + 7200.0)
            if day % every == 0 or day == days - 2:
                self.analyse(at + 10000.0)
            if rng.random() < 0.012:
                self.withdraw(at + 12000.0)
            if rng.random() < 0.02:
                self.correct(at + 13000.0)
            if rng.random() < 0.006:
                self.truth.additive *= float(np.exp(rng.uniform(np.log(0.03), np.log(0.3))))
                self.note(Carbon, at + 14000.0)
        gross = self.spoil()
        hidden = {
            "drag_out": self.film, "mismatch": self.mismatch, "idle_dissolution": self.idle,
            "evaporation": self.evaporation,
        }  # fmt: skip
        return Shop(tuple(self.events), self.truth.grams_per_litre, hidden, gross)

    def shelve(self) -> None:
        for name, (substance, stated, half, form, dense) in GRADES.items():
            product = Product(
                name=name,
                form=form,
                contents=(_content(substance, stated, half),),
                density=None if dense is None else Interval.exact(dense),
            )
            self.note(Bottle, NOON - DAY, product=product)
        water = _content("water", 1.0, 0.0)
        chloride = Interval(5e-6, 35e-6, 65e-6) if self.tap else Interval(0.0, 0.0, 0.0)
        product = Product(name="water", form=Form.LIQUID, contents=(water,), chloride=chloride)
        self.note(Bottle, NOON - DAY, product=product)
        product = Product(name="brightener", form=Form.LIQUID, contents=(water,))
        self.note(Bottle, NOON - DAY, product=product, additive=True)

    def pour_water(self, grams: float) -> None:
        self.truth.water += grams
        if self.tap:
            self.truth.chloride += grams / 1000.0 * self.tap_chloride / CL

    def put(self, name: str, kilograms: float) -> float:
        """Puts a portion in, with the scale's error; what the scale showed [kg]."""
        grams = 1000.0 * kilograms * (1.0 + 0.005 * self.rng.standard_normal())
        held = grams * self.strength.get(name, 0.0)
        if name == "copper sulfate crystals":
            self.truth.copper += held / SALT
            self.truth.water += grams - held + 5.0 * WATER * held / SALT
        elif name == "battery acid":
            self.truth.acid += held / ACID
            self.truth.water += grams - held
        elif name == "muriatic acid":
            self.truth.chloride += held / 36.461
            self.truth.acid += 0.5 * held / 36.461
            self.truth.water += grams - held
        elif name == "brightener":
            self.truth.additive += grams
            self.truth.water += grams
        else:
            self.pour_water(grams)
        return kilograms

    def make_up(self) -> None:
        salt, acid = (70.0, 200.0) if self.high_throw else (215.0, 55.0)
        v = self.litres
        amounts = {
            "copper sulfate crystals": 1e-3 * v * salt * self.stock / 0.985,
            "battery acid": 1e-3 * v * acid * self.stock / 0.37,
            "muriatic acid": 1e-6 * v * 60.0 * 36.461 / CL / 0.31,
            "brightener": 4e-3 * v,
        }
        wet = 0.55 if self.high_throw else 0.76
        shown = {name: self.put(name, mass) for name, mass in amounts.items()}
        shown["water"] = self.put("water", wet * v)
        rest = v - self.truth.litres
        shown["water"] += self.put("water", rest)
        self.litres = self.truth.litres
        self.note(
            MakeUp,
            NOON,
            portions=tuple(Portion(product=n, mass=m) for n, m in shown.items()),
            level_volume=self.read_level(),
        )

    def read_level(self) -> float:
        return self.truth.litres / 1000.0 * (1.0 + 0.01 * self.rng.standard_normal())

    def weather(self, at: float) -> None:
        """A day at some temperature, open to the air; the anodes stay in."""
        warm = float(self.rng.uniform(19.0, 27.0))
        rate = nominal_kg_m2_day(warm) * self.evaporation
        daily = rate * self.rng.gamma(16.0, 1.0 / 16.0)
        self.truth.water -= 1000.0 * daily * self.surface
        if self.notes_hours:
            self.note(
                Evaporation,
                at,
                duration=DAY,
                temperature=warm + 273.15,
                surface_area=self.surface,
                room_temperature=293.15,
                relative_humidity=0.5,
            )
        anodes = 0.6 * self.surface
        grams = 1000.0 * self.idle * anodes * 0.8 * DAY * self.rng.gamma(11.0, 1.0 / 11.0)
        self.truth.copper += grams / CU
        self.truth.acid -= grams / CU
        self.truth.water += grams / CU * WATER
        self.note(Idle, at, duration=0.8 * DAY, anode_area=anodes)
        self.truth.chloride *= 1.0 + 0.004 * self.rng.standard_normal()
        self.truth.additive *= float(np.exp(self.rng.uniform(-0.04, 0.04)))

    def work(self, at: float) -> None:
        hours = self.rng.uniform(0.3, 1.5) * self.litres
        coulombs = 3600.0 * hours
        shift = coulombs / (2.0 * FARADAY) * self.mismatch
        usual = (coulombs * 36000.0) ** 0.5 / (2.0 * FARADAY)
        shift += 0.008 * usual * self.rng.standard_normal()
        self.truth.copper += shift
        self.truth.acid -= shift
        self.truth.additive *= float(np.exp(-self.fade * coulombs / self.truth.litres))
        self.note(AmpereHours, at, charge=coulombs)
        for rack in range(int(self.rng.integers(1, 4))):
            area = float(self.rng.uniform(0.004, 0.04)) * self.litres / 15.0
            film = self.film * self.rng.gamma(8.0, 1.0 / 8.0)
            self.truth.take_out(1000.0 * film * area)
            self.note(DragOut, at + 60.0 * (rack + 1), area=area)

    def top_up(self, at: float) -> None:
        missing = self.litres - self.truth.litres
        self.pour_water(997.0 * missing * (1.0 + 0.03 * self.rng.standard_normal()))
        level = self.read_level() if self.rng.random() < 0.5 else None
        self.note(TopUp, at, water="water", volume=missing / 1000.0, level_volume=level)

    def analyse(self, at: float) -> None:
        true = self.truth.grams_per_litre
        found = []
        for name, relative, chance in (
            ("copper", 0.02, 1.0), ("sulfuric_acid", 0.025, 0.9), ("chloride", 0.12, 0.6),
        ):  # fmt: skip
            if self.rng.random() < chance:
                std = relative * true[name]
                read = true[name] * self.titrant[name] + std * self.rng.standard_normal()
                self.findings.append((len(self.events), name, std))
                found.append(_finding(name, read, std))
        if self.rng.random() < 0.7:
            salt, acid = self.truth.copper * ANHYDROUS, self.truth.acid * ACID
            mass = salt + acid + self.truth.water
            read = 1000.0 * density_g_mL(salt / mass, acid / mass) * self.truth.dense
            read += self.hydrometer + 1.0 * self.rng.standard_normal()
            found.append(_finding("density", read, 1.0))
        self.note(Analysis, at, findings=tuple(found))

    def withdraw(self, at: float) -> None:
        litres = float(self.rng.uniform(0.02, 0.08)) * self.litres
        self.truth.take_out(litres * (1.0 + 0.03 * self.rng.standard_normal()))
        self.note(Withdrawal, at, volume=litres / 1000.0)

    def correct(self, at: float) -> None:
        name = str(self.rng.choice([*GRADES, "brightener"]))
        per_litre = {"copper sulfate crystals": 8e-3, "battery acid": 15e-3,
                     "muriatic acid": 5e-5, "brightener": 1e-3}[name]  # fmt: skip
        mass = per_litre * self.litres * self.rng.uniform(0.5, 1.5)
        self.note(Addition, at, product=name, mass=self.put(name, mass))

    def spoil(self) -> dict[tuple[str, str], float]:
        """Makes findings grossly wrong; none so low that nobody would believe it."""
        chosen: dict[tuple[str, str], float] = {}
        order = self.rng.permutation(len(self.findings))
        for place in order:
            if len(chosen) == self.gross_count:
                break
            number, name, std = self.findings[place]
            event = self.events[number]
            assert isinstance(event, Analysis)
            size = float(self.rng.uniform(*self.gross_size)) * float(self.rng.choice([-1.0, 1.0]))
            held = {one.quantity: one for one in event.findings}
            wrong = held[name].value.best + size * std
            if wrong < 0.1 * held[name].value.best:
                size = abs(size)
                wrong = held[name].value.best + size * std
            held[name] = _finding(name, wrong, std)
            self.events[number] = Analysis(at=event.at, id=event.id, findings=tuple(held.values()))
            chosen[event.id, name] = abs(size)
        return chosen


def nominal_kg_m2_day(warm: float) -> float:
    """Evaporation into a room of 20 °C and half its moisture: Magnus' formula for the pressures, a
    constant that lies amid published formulas."""
    over, room = (611.2 * float(np.exp(17.62 * t / (243.12 + t))) for t in (warm, 20.0))
    return 2.8e-3 * (0.96 * over - 0.5 * room)


def _finding(name: str, value: float, std: float) -> Finding:
    half = 1.645 * std
    return Finding(
        quantity=name, value=Interval(value - half, value, value + half), std=std, method="made up"
    )


def _content(substance: str, stated: float, half: float) -> Content:
    interval = Interval(stated - half, stated, stated + half)
    return Content(substance=substance, mass_fraction=interval)
