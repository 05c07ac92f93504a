"""Answers of a bath's forms as the requests of the use cases, and their replies: the one way that
the pages and the API go.

Every function raises FormFault with a sentence by field where answers cannot be, and Impossible or
SafetyRefusal as the use cases do.
"""

from collections.abc import Mapping

from tankside.app.bath.ask_if_safe import SafeReply, SafeRequest, ask_if_safe
from tankside.app.bath.dose_a_bath import DoseReply, DoseRequest, dose_a_bath
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.forecast_a_bath import ForecastReply, ForecastRequest, forecast_a_bath
from tankside.app.bath.kept_shelf import WHERE, KeptShelf
from tankside.app.bath.questions.keeping import (
    DOSE,
    FORECAST,
    HANDLED,
    RETIRE,
    RINSE,
    SAFE,
    STILL,
    TOGETHER,
)
from tankside.app.bath.questions.reading import answers_of, told_at_fields
from tankside.app.bath.retire_a_bath import RetireReply, RetireRequest, retire_a_bath
from tankside.app.bath.rinse_a_part import RinseReply, RinseRequest, rinse_a_part
from tankside.app.bath.usual_week import USE_KEYS
from tankside.app.work.plan_form import FormFault
from tankside.base.wording import term

Typed = Mapping[str, str]


def forecast(asked: LedgerAsked, shelf: KeptShelf, typed: Typed) -> ForecastReply:
    """The bath over the weeks to come."""
    given = answers_of(FORECAST, typed)
    week = [f"{key}={given[key]}" for key in USE_KEYS if given[key]]
    if given["other_water"] and given["other_water"] != given["water"]:
        week.append(f"water={given['other_water']}")
    with told_at_fields(FORECAST):
        return forecast_a_bath(
            ForecastRequest(
                asked=asked,
                week=week,
                weeks=int(given["weeks"]),
                hardness=given["hardness"],
                shelf=shelf.text() if shelf.tables() else "",
                shelf_name=WHERE,
            )
        )


def doses(asked: LedgerAsked, shelf: KeptShelf, typed: Typed) -> DoseReply:
    """What to add or take out."""
    given = answers_of(DOSE, typed)
    tables = shelf.tables()
    for kind, words in (("shelf", "bottles"), ("tool", "scales and jugs")):
        if not tables.get(kind):
            said = f"your shelf has no {words} yet; put there what is at hand"
            raise FormFault({"": said})
    if not (given["capacity"] or tables.get("vessel")):
        said = "say what the tank may hold, such as '12 L', or give your shelf its vessel"
        raise FormFault({"capacity": said})
    if given["panel"] and not tables.get("additive"):
        raise FormFault({"panel": term("your shelf has no additive with its usual dose")})
    with told_at_fields(DOSE):
        return dose_a_bath(DoseRequest(asked=asked, shelf=shelf.text(), shelf_name=WHERE, **given))


def rinse(typed: Typed) -> RinseReply:
    """What a part carries out, and what the rinses do."""
    given = answers_of(RINSE, typed)
    still = [given[f"still{number}"] for number in range(1, STILL + 1)]
    with told_at_fields(RINSE):
        return rinse_a_part(
            RinseRequest(
                area=given["area"],
                copper=given["copper"],
                acid=given["acid"],
                film=given["film"],
                stages=int(given["stages"]),
                still=[one for one in still if one],
                parts=int(given["parts"]),
                goal=given["goal"],
                evaporated=given["evaporated"],
            )
        )


def retirement(asked: LedgerAsked, typed: Typed) -> RetireReply:
    """What it takes to retire the bath of a ledger."""
    given = answers_of(RETIRE, typed)
    plated = given["removal"] == "plate"
    if plated and not given["plate_out"]:
        raise FormFault({"plate_out": term("say down to what it is plated out, such as '2 g/L'")})
    with told_at_fields(RETIRE):
        return retire_a_bath(
            RetireRequest(
                ledger=asked,
                base=given["base"],
                dissolved=bool(given["dissolved"]),
                vessel=given["vessel"],
                plate_out=given["plate_out"] if plated else "",
                cement=given["removal"] == "cement",
                complexed=bool(given["complexed"]),
                name=given["name"],
                containers=int(given["containers"]),
            )
        )


def safety(typed: Typed) -> SafeReply:
    """May this be used, may these meet, what is to be minded?"""
    given = answers_of(SAFE, typed)
    together = [given[f"together{number}"] for number in range(1, TOGETHER + 1)]
    handled = {
        given[f"handled{number}"]: given[f"handled_strength{number}"] or "100 %"
        for number in range(1, HANDLED + 1)
        if given[f"handled{number}"]
    }
    things = ("anode", "base_metal", "bath", "heater")
    if not any(given[key] for key in (*things, "pour", "into", "doing")) and not any(together):
        raise FormFault({"": term("ask something: fill in one of the parts below")})
    if bool(given["pour"]) != bool(given["into"]):
        lacks = "into" if given["pour"] else "pour"
        raise FormFault({lacks: term("say both: what is poured, and into what")})
    if len([one for one in together if one]) == 1:
        raise FormFault({"together2": term("name two substances or more that are to meet")})
    with told_at_fields(SAFE):
        return ask_if_safe(
            SafeRequest(
                **{key: given[key] for key in (*things, "pour", "into", "strength", "doing")},
                together=[one for one in together if one],
                handled=[f"{name}={strength}" for name, strength in handled.items()],
                temperature=given["temperature"],
                air=bool(given["air"]),
                coats=[given["coat"]] if given["coat"] else [],
            )
        )
