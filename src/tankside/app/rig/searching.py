"""Use case: a search for better rigs as long work, and one of them taken as a new revision."""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.app.job.reading import read_job
from tankside.app.ports import Files
from tankside.app.rig.editing import point_text, pose_of, tables_of, text_of
from tankside.app.rig.keeping import Rig, RigDesk, given_of, revised
from tankside.app.rig.poses import Pose
from tankside.app.rig_options import USUALLY, RigOptions, rig_request
from tankside.app.rig_regions import read_regions
from tankside.app.rig_values import RigRequest
from tankside.app.work.plan_form import JOB_NAME
from tankside.app.work.work import Order, Work, WorkKind, WorkState
from tankside.base.errors import BadInput, Impossible, UnknownName
from tankside.cell.description import Vector
from tankside.plan.rigs.contact_sites import RegionKind

REGIONS_NAME = "regions.toml"
EVALUATIONS = 300
"""Rigs tried at most; the minutes usually end a search before."""
MOST_MINUTES = 50.0
"""Less than the queue gives one piece of work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """A region of a part's surface: kind ("allowed", "forbidden" or "hidden"), centre in the tank
    [m], radius [m], number of the part from 1."""

    kind: str
    centre: Vector
    radius: float
    part: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchWish:
    """What a search is to do: its goal, what may change, the times within which the goal is wanted
    and copper must cover the coat as typed ("" for any), minutes that it may take, how many rigs,
    and where wires may hold."""

    goal: str = "thinnest"
    allow: tuple[str, ...] = tuple(USUALLY.split(","))
    within: str = ""
    start_within: str = ""
    minutes: float = 5.0
    rigs: int = 4
    seed: int = 1
    regions: tuple[Ball, ...] = ()


def order_search(desk: RigDesk, rig: Rig, wish: SearchWish) -> Work:
    """Queues a search from a rig as it is kept; BadInput or Impossible where that cannot be."""
    if not 0.05 <= wish.minutes <= MOST_MINUTES:
        raise BadInput(
            "the minutes are {minutes:g}; give 0.05 to {most_minutes:g}",
            minutes=wish.minutes,
            most_minutes=MOST_MINUTES,
        )
    scene = desk.scene(rig, rig.value.text)
    if scene.refusal:
        raise Impossible(scene.refusal)
    regions = regions_text(rig.value.text, wish.regions)
    options = {
        "job": JOB_NAME,
        "rig": rig.id,
        "rig_version": rig.version,
        "goal": wish.goal,
        "allow": ",".join(wish.allow),
        "within": wish.within.strip(),
        "start_within": wish.start_within.strip(),
        "minutes": wish.minutes,
        "rigs": wish.rigs,
        "seed": wish.seed,
    }
    given = given_of(desk, rig)
    _request(rig.value.text, _Given(given), options, regions)  # refuses before it is queued
    return desk.queue.add(
        WorkKind.RIG,
        rig.name,
        {**given, JOB_NAME: rig.value.text.encode(), REGIONS_NAME: regions.encode()},
        options=options,
    )


def request_of(order: Order, files: Files) -> RigRequest:
    """The request of a queued search."""
    text = files.read(JOB_NAME, where="the job").decode()
    regions = files.read(REGIONS_NAME, where="the regions").decode()
    return _request(text, files, order.options, regions)


def regions_text(job: str, balls: tuple[Ball, ...]) -> str:
    """The regions file: centres in the coordinates of each part's own file."""
    parts = tables_of(job)["part"]
    lines: list[str] = []
    for ball in balls:
        if ball.kind not in [kind.value for kind in RegionKind]:
            raise UnknownName("the region", ball.kind[:40], [kind.value for kind in RegionKind])
        if not 1 <= ball.part <= len(parts):
            raise UnknownName("part", str(ball.part), [str(k + 1) for k in range(len(parts))])
        still = Pose(at=(0.0, 0.0, 0.0), rotate=(0.0, 0.0, 0.0))
        centre = point_text(pose_of(parts[ball.part - 1]).carried(ball.centre, still))
        (radius, *_) = point_text((ball.radius,))
        told = ", ".join(f'"{text}"' for text in centre)
        lines += [f"[[{ball.kind}]]", f"centre = [{told}]", f'radius = "{radius}"']
        lines += [f"part = {ball.part}", ""]
    text = "\n".join(lines)
    read_regions(text, name=REGIONS_NAME, parts=len(parts))
    return text


def take_rig(desk: RigDesk, work: Work, number: int) -> Rig:
    """Makes a found rig the newest revision of the rig that was searched from."""
    if work.order.kind is not WorkKind.RIG or work.state is not WorkState.DONE:
        raise BadInput("{work} is no search that is done", work=work.id)
    made = desk.queue.folder.made(work.id)
    name = f"rig-{number}.toml"
    if name not in made:
        if f"rig-{number}-1-of-2.toml" in made:
            name = f"rig-{number}-1-of-2.toml"
        else:
            known = [file for file in made if file.endswith(".toml")]
            raise UnknownName("the rig", str(number), known)
    rig = desk.store.jobs.find(str(work.order.options["rig"]))
    return revised(desk, rig, text_of(tables_of(made[name].read_text("utf-8"))))


class _Given:
    """Files in memory."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    def read(self, name: str, *, where: str) -> bytes:
        if name not in self._files:
            raise BadInput("the file {name!r} is not there", name=name, where=where)
        return self._files[name]


def _request(text: str, files: Files, options: Mapping[str, object], regions: str) -> RigRequest:
    read_job(text, name=JOB_NAME)
    words = RigOptions(
        goal=str(options["goal"]),
        allow=str(options["allow"]),
        regions=(regions, REGIONS_NAME) if regions.strip() else None,
        within=str(options["within"]) or None,
        start_within=str(options.get("start_within", "")) or None,
        minutes=float(str(options["minutes"])),
        evaluations=EVALUATIONS,
        rigs=int(str(options["rigs"])),
        seed=int(str(options["seed"])),
    )
    return rig_request(text, JOB_NAME, files, words)
