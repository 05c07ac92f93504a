"""A small edition of the benchmark: the deep cup gains a quarter and more, on a finer mesh too."""

from dataclasses import dataclass, replace

from benchmarks.contenders import held_rigs

from tankside.app.improve_a_rig import improve_a_rig
from tankside.app.rig_bench import fine_description, rig_bench
from tankside.app.rig_values import RigRequest
from tankside.base.progress import silent
from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import RigCase, RigFigures
from tankside.plan.rigs.trials import Effort
from tankside.sweeps.here import InThisProcess


@dataclass(frozen=True)
class Memory:
    """The cup's mesh."""

    def read(self, name: str, *, where: str) -> bytes:
        """By any name."""
        return held_rigs.stl("cup")


def test_a_deep_cup_gains_a_quarter_and_more_at_its_thinnest() -> None:
    request = RigRequest(
        job_text=held_rigs.job("cup", 2000),
        job_name="cup.toml",
        files=Memory(),
        effort=Effort(evaluations=45, screened=4),
        minutes=60.0,
        rigs=2,
    )
    reply = improve_a_rig(request, InThisProcess())
    best = reply.proposals[0]
    assert best.numbers.thinnest_um > 1.25 * reply.own.thinnest_um
    assert best.numbers.hours < reply.own.hours / 1.25
    finer = rig_bench(held_rigs.job("cup", 6000), "cup.toml", Memory(), silent)
    found = replace(best.rig, description=fine_description(best.rig, finer.own))
    gain = _figures(found, finer).thinnest_rate / _figures(finer.own, finer).thinnest_rate
    assert gain > 1.25
    coarse = best.numbers.thinnest_um / reply.own.thinnest_um
    assert abs(gain / coarse - 1) < 0.1


def _figures(rig: object, bench: object) -> RigFigures:
    result = evaluated(RigCase(rig=rig, bench=bench.bench))  # type: ignore[arg-type,attr-defined]
    assert result.figures is not None, result.refusal
    return result.figures
