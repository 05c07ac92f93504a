"""Use case: the audit of a run, from its folder and what the person weighed and measured."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.forms import ends
from tankside.app.order_a_run import Order
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.runs.audit import Audit, Point, Weighed, audited


@dataclass(frozen=True, kw_only=True)
class AuditRequest:
    """Texts as typed: the part dry before and after, what wires gained that were weighed with it
    ("" where none were), the scale's division, calliper readings "place=thickness", what they
    resolve, and what was seen; and the charge of the run [C]."""

    order: Order
    charge: float
    before: str = ""
    after: str = ""
    scale: str = "0.1 g"
    points: Sequence[str] = ()
    resolution: str = "10 um"
    wires: str = ""
    seen: Sequence[str] = ()


@dataclass(frozen=True, kw_only=True)
class AuditReply:
    """The audit, as a value and as JSON, and what was seen."""

    audit: Audit
    seen: tuple[str, ...] = ()

    def as_json(self) -> Mapping[str, Any]:
        """SI numbers with their units in the names."""
        audit = self.audit
        return {
            "copper_mass_kg": ends(audit.copper_mass),
            "mean_thickness_m": ends(audit.mean_thickness),
            "factors": {name: ends(value) for name, value in audit.factors.items()},
            "chance": audit.chance,
            "explanations": [
                {"factor": name, "share": share} for name, share in audit.explanations
            ],
            "measured_over_planned": None
            if audit.ratio_of_points is None
            else ends(audit.ratio_of_points),
            "findings": list(audit.findings),
        }

    def text(self) -> str:
        """A few lines for a terminal."""
        audit = self.audit
        mass, thick = audit.copper_mass.scaled(1e3), audit.mean_thickness.scaled(1e6)
        lines = [
            f"Copper on the part {mass.best:.3g} g ({mass.low:.3g} to {mass.high:.3g})",
            f"Mean thickness {thick.best:.3g} µm ({thick.low:.3g} to {thick.high:.3g})",
        ]
        if audit.unevenness is not None:
            measured, planned = audit.unevenness
            lines.append(f"Thinnest over mean {measured:.2f}; planned {planned:.2f}")
        for name in ("efficiency", "share", "area"):
            value = audit.factors[name]
            lines.append(f"  {name:10} {value.best:.4g} ({value.low:.4g} to {value.high:.4g})")
        if self.seen:
            lines.append(f"Seen: {', '.join(self.seen)} ('tankside diagnose' looks for the cause)")
        return "\n".join([*lines, *audit.findings]) + "\n"


def audit_a_run(request: AuditRequest) -> AuditReply:
    """Audits; BadInput, placed at what was typed, where that cannot be."""
    gain, others = None, None
    if request.before or request.after:
        if not (request.before and request.after):
            raise BadInput("give the part's weight both before and after, dry")
        before = quantity(request.before, Kind.MASS, where="the weight before")
        after = quantity(request.after, Kind.MASS, where="the weight after")
        wires = quantity(request.wires, Kind.MASS, where="the wires") if request.wires else 0.0
        gain = after - before - wires
        others = wires if wires and not _has_thief(request.order) else None
    resolution = quantity(request.resolution, Kind.LENGTH, where="the callipers")
    weighed = Weighed(
        charge=request.charge,
        mass_gain=gain,
        scale=quantity(request.scale, Kind.MASS, where="the scale"),
        others_gain=others,
        points=tuple(_point(text, resolution, request.order) for text in request.points),
    )
    return AuditReply(audit=audited(request.order.believed, weighed), seen=tuple(request.seen))


def _has_thief(order: Order) -> bool:
    """Whether copper went to a thief too, so that part and wires are not all of it."""
    try:
        return "thief" in tomllib.loads(order.job_text)
    except tomllib.TOMLDecodeError:
        return True


def request_of(order: Order, measured: Mapping[str, Any]) -> AuditRequest:
    """The request that was kept as what it measured."""
    return AuditRequest(
        order=order,
        charge=float(measured["charge_C"]),
        before=str(measured["before"]),
        after=str(measured["after"]),
        scale=str(measured["scale"]),
        points=tuple(map(str, measured["points"])),
        resolution=str(measured["resolution"]),
        wires=str(measured.get("wires", "")),
        seen=tuple(map(str, measured.get("seen", ()))),
    )


def _point(text: str, resolution: float, order: Order) -> Point:
    place, sign, value = text.partition("=")
    if not sign or not place.strip():
        raise BadInput(
            "{text!r} is no reading; write 'rim=130 um' or 'rim=130 um/120 um planned'", text=text
        )
    measured, _, planned = value.partition("/")
    expected = planned.replace("planned", "").strip()
    return Point(
        place=place.strip(),
        thickness=quantity(measured.strip(), Kind.LENGTH, where=place.strip()),
        resolution=resolution,
        planned=quantity(expected, Kind.LENGTH, where=place.strip())
        if expected
        else order.planned_thickness,
    )
