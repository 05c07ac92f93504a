"""Rigs are begun, checked, revised, taken back, planned and searched from."""

import tomllib
from pathlib import Path

import pytest

from tankside.app.job.reading import read_job
from tankside.app.rig.keeping import (
    Rig,
    RigDesk,
    plan_of_rig,
    revised,
    rig_of_file,
    taken_again,
)
from tankside.app.rig.search_form import regions_in, typed_regions, wish_of
from tankside.app.rig.searching import (
    Ball,
    SearchWish,
    order_search,
    regions_text,
    request_of,
    take_rig,
)
from tankside.app.store_ports import StaleWrite
from tankside.app.work.plan_form import FormFault
from tankside.app.work.work import WorkKind, WorkState
from tankside.base.errors import BadInput, Impossible, UnknownName
from tests.faces.conftest import JOB
from tests.unit.app.rig.bench import desk_over, hung


@pytest.fixture
def desk(tmp_path: Path) -> RigDesk:
    return desk_over(tmp_path)


@pytest.fixture
def rig(desk: RigDesk) -> Rig:
    return hung(desk)


def moved(desk: RigDesk, rig: Rig, **typed: str) -> str:
    answers = {key.replace("_", "."): value for key, value in typed.items()}
    return desk.answered(rig, rig.value.text, answers)


def test_a_rig_that_can_be_has_wires_and_no_refusal(desk: RigDesk, rig: Rig) -> None:
    scene = desk.scene(rig, rig.value.text)
    assert scene.refusal == ""
    assert [body["key"] for body in scene.drawing["bodies"]] == ["anode.0", "anode.1", ""]


@pytest.mark.parametrize(
    ("typed", "words", "blamed"),
    [
        ({"anode.0.at.0": "0 cm"}, "overlaps", {"part.0", "anode.0"}),
        ({"part.0.middle.2": "19 cm"}, "above the liquid", {"part.0"}),
        ({"anode.1.at.0": "16 cm"}, "beyond the tank's wall", {"anode.1"}),
        ({"contact.0.near.0": "9 cm"}, "from part 1", {"contact.0", "part.0"}),
        ({"tank.liquid_depth": "30 cm"}, "above the rim", set()),
    ],
)
def test_what_cannot_be_is_said_and_names_the_things(
    desk: RigDesk, rig: Rig, typed: dict[str, str], words: str, blamed: set[str]
) -> None:
    scene = desk.scene(rig, desk.answered(rig, rig.value.text, typed))
    assert words in scene.refusal
    assert set(scene.blamed) == blamed
    assert scene.drawing["parts"]


def test_a_check_tells_the_answers_that_follow(desk: RigDesk, rig: Rig) -> None:
    found = desk.checked(rig, rig.value.text, {"part.0.middle.0": "2 cm"})
    assert found["faults"] == {}
    assert found["answers"]["contact.0.near.0"] == "20 mm"
    assert found["places"]["part.0"] == pytest.approx((0.02, 0.0, 0.10))
    wrong = desk.checked(rig, rig.value.text, {"part.0.middle.0": "2"})
    assert list(wrong["faults"]) == ["part.0.middle.0"]


def test_revisions_go_on_and_come_back(desk: RigDesk, rig: Rig) -> None:
    second = revised(desk, rig, moved(desk, rig, anode_0_at_0="-12 cm"))
    assert second.version == 2
    assert revised(desk, second, second.value.text) == second
    with pytest.raises(StaleWrite):
        revised(desk, rig, moved(desk, rig, anode_0_at_0="-11 cm"))
    third = taken_again(desk, second, 1)
    assert (third.version, third.value) == (3, rig.value)
    with pytest.raises(BadInput, match="no version 9; it has 1 to 3"):
        taken_again(desk, third, 9)


def test_a_job_whose_mesh_was_not_handed_in_is_no_rig(desk: RigDesk) -> None:
    with pytest.raises(BadInput, match=r"'orb\.stl' was not handed in"):
        rig_of_file(desk, JOB.replace("block.stl", "orb.stl"), "orb.toml")
    assert desk.store.jobs.all() == ()


def test_a_plan_is_of_the_rig_as_it_is_kept(desk: RigDesk, rig: Rig) -> None:
    work = plan_of_rig(desk, rig)
    assert (work.order.kind, work.order.options["rig"]) == (WorkKind.PLAN, rig.id)
    given = desk.queue.folder.given(work.id)
    assert given.names() == ("block.stl", "job.toml")
    assert given.read("job.toml", where="").decode() == JOB
    bad = revised(desk, rig, moved(desk, rig, anode_0_at_0="0 cm"))
    with pytest.raises(Impossible, match="overlaps"):
        plan_of_rig(desk, bad)


def test_a_region_is_told_in_the_coordinates_of_the_parts_file(desk: RigDesk, rig: Rig) -> None:
    turned = moved(desk, rig, part_0_rotate_2="90 deg", part_0_middle_0="1 cm")
    ball = Ball(kind="hidden", centre=(0.03, 0.0, 0.10), radius=0.008)
    (region,) = tomllib.loads(regions_text(turned, (ball,)))["hidden"]
    assert region["centre"] == ["0 mm", "-20 mm", "0 mm"]
    with pytest.raises(UnknownName):
        regions_text(turned, (Ball(kind="hidden", centre=(0, 0, 0), radius=0.01, part=2),))


def test_a_search_is_ordered_as_it_will_be_worked(desk: RigDesk, rig: Rig) -> None:
    ball = Ball(kind="forbidden", centre=(0.0, 0.0, 0.12), radius=0.008)
    wish = SearchWish(goal="even", allow=("pose",), within="8 h", minutes=2.0, regions=(ball,))
    work = order_search(desk, rig, wish)
    request = request_of(work.order, desk.queue.folder.given(work.id))
    assert request.goal.value == "even"
    assert request.within == 8 * 3600
    assert request.freedoms.pose
    assert not request.freedoms.anodes
    assert [one.kind.value for one in request.freedoms.regions] == ["forbidden"]


@pytest.mark.parametrize(
    "wish",
    [
        SearchWish(goal="prettiest"),
        SearchWish(allow=()),
        SearchWish(minutes=500.0),
        SearchWish(within="soon"),
    ],
)
def test_a_search_that_cannot_be_worked_is_not_queued(
    desk: RigDesk, rig: Rig, wish: SearchWish
) -> None:
    before = len(desk.queue.all())
    with pytest.raises(BadInput):
        order_search(desk, rig, wish)
    assert len(desk.queue.all()) == before


def test_a_found_rig_becomes_a_revision(desk: RigDesk, rig: Rig) -> None:
    work = order_search(desk, rig, SearchWish())
    with pytest.raises(BadInput, match="no search that is done"):
        take_rig(desk, work, 1)
    better = moved(desk, rig, anode_0_at_0="-11 cm")
    desk.queue.folder.keep(work.id, {"rig-1.toml": better.encode(), "result.json": b"{}"})
    desk.queue.end(work, WorkState.DONE)  # type: ignore[attr-defined]  # a queue for tests
    taken = take_rig(desk, desk.queue.get(work.id), 1)
    assert (taken.id, taken.version) == (rig.id, 2)
    assert read_job(taken.value.text, name="").anode[0].at[0] == pytest.approx(-0.11)  # type: ignore[union-attr]
    with pytest.raises(UnknownName):
        take_rig(desk, desk.queue.get(work.id), 2)


def test_a_rig_that_names_the_shops_tests_goes_with_them(desk: RigDesk, rig: Rig) -> None:
    told = revised(desk, rig, rig.value.text + '\n[shop]\nfile = "shop.toml"\n')
    told = revised(desk, told, moved(desk, told, anode_0_at_0="-12 cm"))
    with pytest.raises(BadInput, match="no test of your own"):
        plan_of_rig(desk, told)
    home = desk.queue.folder.root.parent
    tests = b'[[burning]]\nname = "coupon"\ngood = "2.2 A/dm^2"\nburnt = "2.6 A/dm^2"\n'
    (home / "shop.toml").write_bytes(tests)
    for work in (plan_of_rig(desk, told), order_search(desk, told, SearchWish())):
        assert (home / "work" / work.id / "given" / "shop.toml").read_bytes() == tests
    other = revised(desk, told, told.value.text.replace("shop.toml", "mine.toml"))
    with pytest.raises(BadInput, match=r"name 'shop\.toml'"):
        plan_of_rig(desk, other)


def test_a_searchs_form_keeps_its_regions() -> None:
    typed = {"goal": "thinnest", "minutes": "2,5", "rigs": "3", "allow_pose": "on"}
    one = typed_regions(typed, add=((0.01, 0.0, 0.1), 1))
    two = typed_regions(one, add=((0.02, 0.0, 0.1), 1))
    assert regions_in(two) == [0, 1]
    left = typed_regions(two, drop=0)
    wish = wish_of(left)
    assert (wish.minutes, wish.rigs, wish.allow) == (2.5, 3, ("pose",))
    assert wish.regions == (Ball(kind="forbidden", centre=(0.02, 0.0, 0.1), radius=0.01),)


def test_a_searchs_form_tells_each_wrong_answer() -> None:
    typed = typed_regions({"minutes": "long", "rigs": "3", "within": "8"}, add=(None, 1))
    with pytest.raises(FormFault) as caught:
        wish_of({**typed, "region.0.radius": "-1 mm"})
    assert set(caught.value.faults) == {"minutes", "within", "region.0.radius"}
