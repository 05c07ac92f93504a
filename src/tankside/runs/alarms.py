"""What may go wrong while it plates, noticed from voltage and current once a second.

A lost contact and a short show in a few samples. At a held current a healthy cell's voltage falls
(copper covers a seed coat) or drifts slowly (a bath cools); in trouble it rises. A rise against the
run's own recent past is found by a cumulative sum (Page, Biometrika 41 (1954) 100, from memory),
which waits for evidence instead of taking fright at one reading; the past follows a voltage that
falls at once, and one that rises slowly. A voltage that stays where the plan expects it to fall
tells of copper that does not creep on. Thresholds are our judgement, set by simulated runs
(tests/soak), and stand here as named constants.
"""

from dataclasses import dataclass, replace
from math import log

from tankside.base.messages import Quantity, said
from tankside.runs.expected import Expected

NO_CURRENT = 0.1
"""Less than this of the current asked for, at the voltage limit: the contact is lost [-]."""

SHORTED = 0.35
"""Less than this of the expected voltage, at full current: something touches [-]."""

AGREED = 0.05
"""Current this far from what was set, without the voltage limit ruling, is outside the plan [-]."""

AT_LIMIT = 0.985
"""A voltage this near its limit is at its limit [-]."""

FEW, STILL, SOME = 4, 8, 20
"""Samples in a row that make a coarse alarm, a front that stands still, and a milder alarm."""

SLACK, ENOUGH = 1.0, 14.0
"""Of the cumulative sum, in standard deviations: allowance a sample, and the sum that alarms. One
sample adds at most a FEW-th of it, so that no single glitch alarms."""

LEAST_NOISE = 0.01
"""Standard deviation of the voltage that is taken at least, over the voltage [-]: meters step and
baths breathe."""

MEMORY_S = 300.0
"""How fast the baseline of the voltage follows upwards; downwards it follows within SLOW_S."""

DUE, DONE = 0.25, 0.25
"""The front is stalled when the voltage should have fallen by this much of itself since the setting
began, and has fallen by less than this share of that [-]."""

QUICK_S, SLOW_S, DUE_TREND = 6.0, 22.0, 0.016
"""Two running means whose difference is a trend; the front is stalled, too, when the trend should
be at least this much downwards [-] and is less than DONE of it."""

SETTLING_S = 20.0
"""After a new setting, diffusion layers settle; nothing is concluded from the voltage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A name, a sentence that says what is seen, what to do now, and whether the output must go
    off at once."""

    name: str
    seen: str
    do: str
    off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One second: time [s], voltage [V], current [A]; what was set; charge so far [C]; temperature
    [K] and its window where known; `ramp` while copper still creeps over a seed coat."""

    time: float
    voltage: float
    current: float
    set_current: float
    voltage_limit: float
    charge: float
    ramp: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """What is remembered from sample to sample.

    baseline, variance  of the logarithm of the voltage [V] at the current set [-]
    rise                the cumulative sum [-]
    first, first_due    that logarithm when the setting had settled, measured and expected [-]
    means               its running means, quick and slow, measured and expected [-]
    stalled             samples in a row in which it should have fallen and has not
    setting, since      the last setting, and when it came [s]
    last                time of the last sample [s]
    empty, short, off_plan, limited   samples in a row that look so
    raised              alarms that hold now, so that each is told once
    """

    baseline: float | None = None
    variance: float = LEAST_NOISE**2
    rise: float = 0.0
    first: float = 0.0
    first_due: float = 0.0
    means: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    stalled: int = 0
    setting: tuple[float, float] = (0.0, 0.0)
    since: float = 0.0
    last: float = 0.0
    empty: int = 0
    short: int = 0
    off_plan: int = 0
    limited: int = 0
    raised: tuple[str, ...] = ()


def observed(watch: Watch, sample: Sample, expected: Expected) -> tuple[Watch, tuple[Alarm, ...]]:
    """The memory after one more sample, and the alarms that it newly raises."""
    setting = (sample.set_current, sample.voltage_limit)
    if setting != watch.setting:
        watch = replace(watch, setting=setting, since=sample.time, rise=0.0, baseline=None)
    wanted = expected.voltage_at(sample.current, sample.charge)
    watch = _counted(watch, sample, wanted)
    settled = sample.time - watch.since >= SETTLING_S
    if settled and expected.holds(sample.current) and sample.voltage > 0.0:
        due = log(expected.voltage_at(sample.set_current, sample.charge))
        watch = _compared(watch, sample, log(sample.voltage / wanted) + due, due)
    alarms = tuple(_alarms(watch, sample, wanted))
    new = tuple(alarm for alarm in alarms if alarm.name not in watch.raised)
    return replace(watch, raised=tuple(alarm.name for alarm in alarms), last=sample.time), new


def _counted(watch: Watch, sample: Sample, wanted: float) -> Watch:
    at_limit = sample.voltage >= AT_LIMIT * sample.voltage_limit
    empty = at_limit and sample.current < NO_CURRENT * sample.set_current
    full = sample.current > 0.9 * sample.set_current
    short = full and sample.voltage < SHORTED * wanted
    off = abs(sample.current - sample.set_current) > AGREED * sample.set_current
    return replace(
        watch,
        empty=watch.empty + 1 if empty else 0,
        short=watch.short + 1 if short else 0,
        off_plan=watch.off_plan + 1 if off and not at_limit else 0,
        limited=watch.limited + 1 if at_limit and not empty else 0,
    )


def _compared(watch: Watch, sample: Sample, level: float, due: float) -> Watch:
    """The baseline and the sum after a voltage whose logarithm is `level` at the current set, where
    `due` was expected."""
    if watch.baseline is None:
        means = (level, level, due, due)
        return replace(watch, baseline=level, first=level, first_due=due, means=means, stalled=0)
    watch = _trended(watch, sample.time - watch.last, level, due)
    baseline = watch.baseline if watch.baseline is not None else level
    deviation = level - baseline
    sigma = max(LEAST_NOISE, watch.variance**0.5)
    rise = max(0.0, watch.rise + min(deviation / sigma, ENOUGH / FEW + SLACK) - SLACK)
    if rise > 0.0 and deviation > 3 * sigma:
        return replace(watch, rise=rise)
    pace = min(1.0, max(0.0, sample.time - watch.last) / MEMORY_S)
    return replace(
        watch,
        rise=rise,
        baseline=min(baseline + pace * deviation, watch.means[1]),
        variance=watch.variance + pace * (deviation**2 - watch.variance),
    )


def _trended(watch: Watch, span: float, level: float, due: float) -> Watch:
    """The running means, and how many samples in a row the voltage has not fallen as it should."""
    quick, slow = min(1.0, span / QUICK_S), min(1.0, span / SLOW_S)
    means = tuple(
        mean + pace * (now - mean)
        for mean, pace, now in zip(
            watch.means, (quick, slow, quick, slow), (level, level, due, due), strict=True
        )
    )
    fall, fall_due = watch.first - level, watch.first_due - due
    trend, trend_due = means[1] - means[0], means[3] - means[2]
    stalled = (fall_due > DUE and fall < DONE * fall_due) or (
        trend_due > DUE_TREND and trend < DONE * trend_due
    )
    return replace(
        watch,
        means=(means[0], means[1], means[2], means[3]),
        stalled=watch.stalled + 1 if stalled else 0,
    )


def _alarms(watch: Watch, sample: Sample, wanted: float) -> list[Alarm]:
    """All that hold now, the gravest first."""
    found = []
    if watch.empty >= FEW:
        found.append(
            Alarm(
                name=said("contact lost"),
                seen=said(
                    "Only {current} flow at {voltage}.",
                    current=Quantity(sample.current, "A", 2),
                    voltage=Quantity(sample.voltage, "V"),
                ),
                do=said(
                    "A wire has come off, or broke: switch off, look at the wire, the hook and the "
                    "clips, and go on within minutes, as the part dissolves slowly in the acid."
                ),
                off=True,
            )
        )
    if watch.short >= FEW:
        found.append(
            Alarm(
                name=said("short"),
                seen=said(
                    "{current} need only {voltage}, where {wanted} were expected.",
                    current=Quantity(sample.current, "A"),
                    voltage=Quantity(sample.voltage, "V", 2),
                    wanted=Quantity(wanted, "V", 2),
                ),
                do=said(
                    "The part or a wire touches an anode: switch off, and part them before going "
                    "on."
                ),
                off=True,
            )
        )
    if (watch.rise >= ENOUGH or _still(watch, sample)) and not watch.empty:
        found.append(_rising(watch, sample, wanted))
    if watch.limited >= SOME and watch.rise < ENOUGH and not _still(watch, sample):
        found.append(
            Alarm(
                name=said("at the voltage limit"),
                seen=said(
                    "The supply is at its {voltage_limit}, and gives {current} of the "
                    "{set_current} asked for.",
                    voltage_limit=Quantity(sample.voltage_limit, "V"),
                    current=Quantity(sample.current, "A"),
                    set_current=Quantity(sample.set_current, "A"),
                ),
                do=said(
                    "The plan takes longer so. Look at contacts and anodes before raising the "
                    "limit."
                ),
                off=False,
            )
        )
    if watch.off_plan >= SOME and not watch.short:
        found.append(
            Alarm(
                name=said("current outside the plan"),
                seen=said(
                    "{current} flow, where {set_current} were set.",
                    current=Quantity(sample.current, "A"),
                    set_current=Quantity(sample.set_current, "A"),
                ),
                do=said("Somebody turned a knob, or the supply misreads: set it anew."),
                off=False,
            )
        )
    return found


def _still(watch: Watch, sample: Sample) -> bool:
    """True where copper does not creep on; a voltage that rises once the ramp is over is another
    matter."""
    return watch.stalled >= STILL and (sample.ramp or watch.rise == 0.0)


def _rising(watch: Watch, sample: Sample, wanted: float) -> Alarm:
    seen = said(
        "The voltage is {voltage} and does not fall, where {wanted} were expected for {current}.",
        voltage=Quantity(sample.voltage, "V"),
        wanted=Quantity(wanted, "V"),
        current=Quantity(sample.current, "A"),
    )
    if sample.ramp or watch.rise < ENOUGH:
        return Alarm(
            name=said("front stalled"),
            seen=seen,
            do=said(
                "Copper does not creep on from the wires: hold the current, look whether "
                "copper still spreads, and touch a second wire to the bare side if it does not."
            ),
            off=False,
        )
    return Alarm(
        name=said("resistance rising"),
        seen=seen,
        do=said(
            "An anode films over or a contact corrodes: look for a black or white film on "
            "the anodes and warm clips; halve the current for a few minutes, or wipe "
            "anodes and clips."
        ),
        off=False,
    )
