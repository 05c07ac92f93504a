"""Whatever is sent, allowed by the API's own description or against it, no route breaks.

Requests are generated from the description by schemathesis; every answer is below 500, and has a
status, a type and a form that the description names.
"""

import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import (
    content_type_conformance,
    not_a_server_error,
    response_schema_conformance,
    status_code_conformance,
)

from tankside.api.application import api
from tests.unit.web.desk import IdleQueue, place_over

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
EXAMPLES = 12
"""Requests for each route and mode."""


@cache
def described() -> Any:
    """The description, over a workplace in a folder of its own."""
    folder = tempfile.TemporaryDirectory()
    app = api(place_over(IdleQueue(Path(folder.name) / "work")), "test")
    found = schemathesis.openapi.from_asgi("/openapi.json", app)
    found.folder = folder  # lives as long as the description
    return found


def routes() -> list[Any]:
    """Every operation."""
    return [found.ok() for found in described().get_all_operations()]


def cases() -> list[Any]:
    """Each operation with requests as described, and against it where that can be: any text is
    allowed in a path."""
    found = []
    for route in routes():
        both = len(route.query) + len(route.body) > 0
        modes = list(GenerationMode) if both else [GenerationMode.POSITIVE]
        found += [pytest.param(route, mode, id=f"{route.label} {mode.value}") for mode in modes]
    return found


@pytest.mark.parametrize(("route", "mode"), cases())
def test_no_request_breaks_a_route(route: Any, mode: GenerationMode) -> None:
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=route.as_strategy(generation_mode=mode))
    def answered(case: Any) -> None:
        case.validate_response(case.call(), checks=CHECKS)

    answered()
