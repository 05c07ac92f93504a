"""Use case: may this be used, may these meet, what is to be minded while doing that?

A refusal is an error with its reason and the way out; what is allowed comes with what to mind.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import pairs
from tankside.app.bath.forms import caution_rows
from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import said
from tankside.base.units import Kind, quantity
from tankside.base.wording import both, term
from tankside.safety.activities import Activity, Coat, Doing, cautions_while
from tankside.safety.cautions import Caution
from tankside.safety.incompatible import (
    Clash,
    clashes,
    refuse_clashes,
    refuse_water_into_acid,
)
from tankside.safety.rules import Kind as Thing
from tankside.safety.rules import Rule, judged


@dataclass(frozen=True, slots=True, kw_only=True)
class SafeRequest:
    """Questions as typed.

    anode, base_metal, bath, heater   a thing that is to be used, "" for none
    together                          substances that are to meet
    pour, into, strength              one liquid into another of a strength, such as "96 %"
    doing                             an activity, to be told its cautions
    handled                           "SUBSTANCE=STRENGTH" each
    temperature, air                  of the bath; whether air bubbles through it
    coats                             paints and sealers
    """

    anode: str = ""
    base_metal: str = ""
    bath: str = ""
    heater: str = ""
    together: Sequence[str] = ()
    pour: str = ""
    into: str = ""
    strength: str = ""
    doing: str = ""
    handled: Sequence[str] = ()
    temperature: str = "20 degC"
    air: bool = False
    coats: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SafeReply:
    """What was allowed: the rules with their reasons, clashes that are to be minded, cautions; and
    `plain`, what no rule speaks against."""

    rules: tuple[tuple[str, Rule], ...]
    clashes: tuple[Clash, ...]
    cautions: tuple[Caution, ...]
    plain: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """All of it."""
        return {
            "cautions": caution_rows(self.cautions),
            "things": [
                {
                    "name": name,
                    "kind": rule.kind.value,
                    "verdict": rule.verdict.value,
                    "reason": rule.reason,
                    "way_out": rule.way_out,
                }
                for name, rule in self.rules
            ],
            "mind": [one.sentence for one in self.clashes],
            "nothing_against": list(self.plain),
        }


@within_laws
def ask_if_safe(request: SafeRequest) -> SafeReply:
    """The answer; SafetyRefusal for what must not be, UnknownName for what is not known."""
    asked = [
        (Thing.ANODE, request.anode),
        (Thing.BASE_METAL, request.base_metal),
        (Thing.BATH, request.bath),
        (Thing.HEATER, request.heater),
    ]
    if not any(name for _, name in asked) and not (
        request.together or request.pour or request.doing
    ):
        raise BadInput(
            "ask something: --anode, --base-metal, --bath, --heater, --together, --pour with "
            "--into, or --doing",
            where="safe",
        )
    rules = tuple((name, judged(kind, name)) for kind, name in asked if name)
    found: tuple[Clash, ...] = ()
    plain: list[str] = []
    if request.together:
        if len(request.together) < 2:
            raise BadInput("name two substances or more that are to meet", where="--together")
        refuse_clashes(request.together)
        found = clashes(request.together)
        if not found:
            plain.append(
                said(
                    "Nothing here speaks against {substances} together.",
                    substances=both(map(term, request.together)),
                )
            )
    if request.pour or request.into:
        plain.append(_poured(request))
    return SafeReply(rules=rules, clashes=found, cautions=_cautions(request), plain=tuple(plain))


def _poured(request: SafeRequest) -> str:
    if not (request.pour and request.into):
        raise BadInput("say both --pour and --into", where="safe")
    strength = 1.0
    if request.strength:
        strength = quantity(request.strength, Kind.FRACTION, where="--strength")
    refuse_water_into_acid(request.into, request.pour, strength)
    refuse_clashes((request.pour, request.into))
    return said(
        "Nothing here speaks against {one} into {other}.",
        one=term(request.pour),
        other=term(request.into),
    )


def _cautions(request: SafeRequest) -> tuple[Caution, ...]:
    if not request.doing:
        return ()
    if request.doing not in tuple(Activity):
        raise UnknownName("activity", request.doing, [one.value for one in Activity],
                          where="--doing")  # fmt: skip
    for name in request.coats:
        if name not in tuple(Coat):
            raise UnknownName("coat", name, [one.value for one in Coat], where="--coat")
    handled = {
        name: quantity(text, Kind.FRACTION, where=f"--with {name}")
        for name, text in pairs(request.handled, where="--with").items()
    }
    return cautions_while(
        Doing(
            activity=Activity(request.doing),
            handled=handled,
            temperature=quantity(request.temperature, Kind.TEMPERATURE, where="--temperature"),
            air_agitation=request.air,
            coats=tuple(Coat(name) for name in request.coats),
        )
    )
