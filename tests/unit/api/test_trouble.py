"""Troubles by the API: diagnosed, recorded, corrected; panels read, kept, proposed from a photo."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tankside.app.store_records import BathRecord
from tests.unit.web.desk import IdleQueue, visitor

BASE = "/api/v1/trouble"
PANEL = {"zones": "burnt 0-1.2 cm, bright 1.2-7 cm", "current": "2 A"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path / "work")) as found:
        yield found


def test_faults_are_listed_found_by_words_and_drawn(client: Any) -> None:
    assert len(client.get(f"{BASE}/faults").json()) >= 45
    found = client.get(f"{BASE}/faults", params={"words": "black edges"}).json()
    assert found[0]["id"] == "burnt-edges"
    assert client.get(f"{BASE}/faults/trees/picture").text.startswith("<svg")


def test_a_case_is_diagnosed(client: Any) -> None:
    case = {"seen": ["burnt-edges", "powder"], "values": {"temperature": "8 degC"}}
    found = client.post(BASE, json=case).json()
    assert found["causes"][0]["id"] == "too-cold"
    assert found["cautions"]
    assert found["next"][0]["effort_s"] > 0
    assert client.post(f"{BASE}/record", json=case).content.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("case", "status"),
    [
        ({"seen": []}, 400),
        ({"seen": ["nothing"]}, 404),
        ({"seen": ["trees"], "answers": {"trees": "perhaps"}}, 400),
        ({"seen": ["trees"], "place": "edges"}, 400),
        ({"seen": ["trees"], "plan": "nowhere"}, 404),
        ({"seen": ["trees"], "run": "nowhere"}, 404),
    ],
)
def test_a_case_not_understood_is_refused(client: Any, case: dict[str, Any], status: int) -> None:
    answer = client.post(BASE, json=case)
    assert answer.status_code == status
    assert answer.json()["error"]


def test_what_it_was_changes_the_prior(client: Any) -> None:
    said = {"found": ["bag-torn"], "ruled_out": ["particles"]}
    assert client.post(f"{BASE}/corrections", json=said).status_code == 201
    torn, particles = client.get(f"{BASE}/learned").json()
    assert (torn["cause"], torn["found"]) == ("bag-torn", 1)
    assert torn["prior"] > torn["prior_before"]
    assert particles["prior"] < particles["prior_before"]
    both = {"found": ["organics"], "ruled_out": ["organics"]}
    assert client.post(f"{BASE}/corrections", json=both).status_code == 400
    assert client.post(f"{BASE}/corrections", json={"found": ["gremlins"]}).status_code == 404


def test_panels_are_read_kept_and_compared(client: Any) -> None:
    bath = client.place.store.baths.add("Blue", BathRecord(family="conventional")).id
    assert client.get(f"{BASE}/known").json()["baths"] == {bath: "Blue"}
    alone = client.post(f"{BASE}/panels", json=PANEL).json()
    assert alone["spoilt_above"]["formula_A_m2"] > 0
    assert alone["trend"] is None
    kept = client.post(f"{BASE}/panels/kept", json={**PANEL, "bath": bath})
    assert kept.status_code == 201
    later = {"zones": "burnt 0-2 cm, bright 2-7 cm", "current": "2 A", "bath": bath}
    trend = client.post(f"{BASE}/panels", json=later).json()["trend"]
    assert trend["panels"] == 1
    assert trend["spoilt_ratio"]["best"] < 1.0  # spoilt from a lower current on
    assert client.post(f"{BASE}/panels/kept", json=PANEL).status_code == 400


def test_a_photo_proposes_zones(client: Any) -> None:
    """A made photo: a dark third, then copper."""
    picture = np.full((200, 600, 3), (205, 120, 80), dtype=np.uint8)
    picture[:, :200] = (20, 14, 10)
    noise = np.random.default_rng(3).integers(-6, 7, picture.shape)
    content = io.BytesIO()
    Image.fromarray(np.clip(picture + noise, 0, 255).astype(np.uint8)).save(content, "png")
    answer = client.post(
        f"{BASE}/panels/photo",
        files={"file": ("panel.png", content.getvalue())},
        data={"corners": "0,0 599,0 599,199 0,199"},
    )
    zones = answer.json()
    assert [zone["look"] for zone in zones] == ["burnt", ""]
    assert float(zones[0]["end"].split()[0]) == pytest.approx(10.17 / 3, abs=0.1)


@pytest.mark.parametrize("corners", ["0,0 599,0", "a b c d", "0,0 1,1 2,2 x,3"])
def test_what_is_no_photo_is_refused(client: Any, corners: str) -> None:
    answer = client.post(
        f"{BASE}/panels/photo", files={"file": ("x.png", b"none")}, data={"corners": corners}
    )
    assert answer.status_code == 400
