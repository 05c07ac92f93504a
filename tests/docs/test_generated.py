"""Generated pages are up to date: `python3 dev.py docs` writes them."""

import json
import re
from pathlib import Path

from tankside.app.job.reading import job_schema
from tankside.diagnosis.loading import atlas
from tankside.sheets.faults.picture import contact_sheet
from tankside.validation.cases import cases

DOCS = Path(__file__).parents[2] / "docs"


def test_the_schema_page_is_the_schema() -> None:
    assert json.loads((DOCS / "job.schema.json").read_text("utf-8")) == job_schema()


def test_the_validation_page_lists_every_case_and_no_other() -> None:
    page = (DOCS / "validation.md").read_text("utf-8")
    listed = re.findall(r"^\| ([\w.+\-]+) \|", page, re.M)
    assert sorted(name for name in listed if name != "case") == sorted(case.id for case in cases())


def test_the_validation_page_shows_no_case_outside_its_limit() -> None:
    page = (DOCS / "validation.md").read_text("utf-8")
    assert f"{len(cases())} cases, 0 outside their limit." in page


def test_the_sheet_of_pictures_is_as_drawn() -> None:
    drawn = contact_sheet([(one.id, one.name) for one in atlas().faults.values()])
    assert (DOCS / "faults.svg").read_text("utf-8") == drawn


def test_the_faults_page_lists_the_atlas_as_it_is() -> None:
    page = (DOCS / "faults.md").read_text("utf-8")
    held = atlas()
    assert re.findall(r"^`([a-z0-9-]+)`: ", page, re.M) == list(held.faults)
    for row in (*held.faults.values(), *held.causes.values()):
        assert row.name in page
    for remedy in held.remedies:
        assert remedy.then in page
    assert (
        f"{len(held.checks)} checks, {len(held.remedies)} remedies, {len(held.links)} links" in page
    )
