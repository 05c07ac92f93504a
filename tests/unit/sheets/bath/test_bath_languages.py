"""Doses, titrations, rinses, the end of a bath and its record: every sheet in its reader's language
and numbers. The bath is INVENTED."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from tankside.app.bath.dose_a_bath import DoseRequest, dose_a_bath
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.plan_a_titration import PlanRequest, plan_a_titration
from tankside.app.bath.print_sheets import (
    print_a_hand_over,
    print_a_record,
    print_a_retirement,
    print_a_rinse,
    print_a_titration,
    print_doses,
)
from tankside.app.bath.retire_a_bath import RetireRequest, retire_a_bath
from tankside.app.bath.rinse_a_part import RinseRequest, rinse_a_part
from tankside.app.ports import SheetRequest
from tankside.base.messages import Reader
from tankside.sheets.bath.makers import TypesetBathSheets
from tests.unit.app.bath.ledgers import FILES, MemoryLedger, begun, noted
from tests.unit.sheets.bath.test_bath_sheets import text_of
from tests.unit.sheets.brackets import NAME, bare, how
from tests.unit.web.test_languages import bracketed

__all__ = ["bracketed", "how"]
SHEETS = TypesetBathSheets()
SHELF = re.findall(r'name = "([^"]+)"', FILES["shelf.toml"].decode())
GLASS = re.compile(r"(?:pipette|burette|flask|syringe|cylinder) [\d.,]+ mL(?: class [AB])?")


@cache
def thin() -> MemoryLedger:
    """A bath that wants crystals, with a reading that cannot be."""
    ledger = begun()
    noted(ledger, "withdrawal", "volume=2 L", "at=2024-01-10")
    noted(ledger, "top-up", "water=distilled water", "volume=2 L", "at=2024-01-10")
    noted(ledger, "ampere-hours", "charge=22 Ah", "at=2024-01-14")
    noted(ledger, "analysis", "copper=90 ± 1 g/L", "at=2024-01-16")
    return ledger


def doses(how: SheetRequest) -> bytes:
    request = DoseRequest(
        asked=LedgerAsked(ledger=thin()), shelf=FILES["shelf.toml"], shelf_name="shelf.toml",
        panel="dull",
    )  # fmt: skip
    return print_doses(dose_a_bath(request), NAME, how, SHEETS)


def titration(what: str, **more: str) -> Callable[[SheetRequest], bytes]:
    def printed(how: SheetRequest) -> bytes:
        request = PlanRequest(what=what, **more)  # type: ignore[arg-type]
        return print_a_titration(request, plan_a_titration(request), how, SHEETS)

    return printed


def rinse(how: SheetRequest) -> bytes:
    request = RinseRequest(
        area="9 dm^2", copper="51 g/L", acid="60 g/L", still=("4 L", "4.5 L"), parts=12
    )
    return print_a_rinse(rinse_a_part(request), NAME, how, SHEETS)


BATH = {"volume": "10 L", "copper": "50 g/L", "acid": "60 g/L"}


def retirement(**more: str | bool) -> Callable[[SheetRequest], bytes]:
    def printed(how: SheetRequest) -> bytes:
        request = RetireRequest(**BATH, **more)  # type: ignore[arg-type]
        return print_a_retirement(retire_a_bath(request), NAME, how, SHEETS)

    return printed


def handover(how: SheetRequest) -> bytes:
    return print_a_hand_over(retire_a_bath(RetireRequest(**BATH)), NAME, how, SHEETS)


def record(how: SheetRequest) -> bytes:
    return print_a_record(LedgerAsked(ledger=thin()), NAME, how, SHEETS)


PRINTED: dict[str, Callable[[SheetRequest], bytes]] = {
    "doses": doses,
    "copper": titration("copper", expected="50.84 g/L"),
    "acid": titration("acid", expected="60 g/L", pipettes=("pipette 5 mL class B",)),
    "chloride": titration("chloride", expected="60 mg/L"),
    "rinse": rinse,
    "retirement": retirement(),
    "plated out": retirement(plate_out="1 g/L"),
    "cemented": retirement(cement=True),
    "hand-over": handover,
    "record": record,
}


@pytest.mark.parametrize("name", PRINTED)
def test_every_word_is_in_the_reader_s_language(name: str, how: SheetRequest) -> None:
    assert list(bare(PRINTED[name](how), *SHELF)) == []


@pytest.mark.parametrize("name", PRINTED)
def test_with_a_decimal_comma_no_decimal_point_is_left(name: str, how: SheetRequest) -> None:
    plain, comma = (
        text_of(PRINTED[name](replace(how, reader=Reader(comma=comma)))) for comma in (False, True)
    )
    assert re.search(r"\d\.\d", told(plain))
    assert re.findall(r".{20}\d\.\d.{5}", told(comma)) == []


def told(text: str) -> str:
    """A sheet's text without its works and the program's version."""
    return re.sub(r"Tankside [\d.]+\d", "", text.partition("Sources")[0])
