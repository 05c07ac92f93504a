"""The atlas holds every look of every mechanism for every cause that works by it."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tankside.diagnosis.loading import atlas

MECHANISMS: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("mechanisms.toml").read_text("utf-8")
)["mechanism"]


@pytest.mark.parametrize("mechanism", MECHANISMS, ids=lambda one: one["id"])
def test_a_cause_has_every_look_of_its_mechanism(mechanism: dict[str, Any]) -> None:
    held = {(link.cause, link.finding) for link in atlas().links}
    wanted = {
        (cause, look)
        for causes, looks in (("causes", "looks"), ("local", "local_looks"))
        for cause in mechanism[causes]
        for look in mechanism[looks]
    }
    assert not wanted - held


def test_every_kind_of_cause_but_finishing_works_by_some_mechanism() -> None:
    named = {cause for one in MECHANISMS for cause in (*one["causes"], *one["local"])}
    kinds = {cause.kind for cause in atlas().causes.values()}
    assert {atlas().causes[name].kind for name in named} >= kinds - {"rinsing and sealing"}
