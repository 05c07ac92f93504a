"""Tankside's own solver: boundary elements, one unknown a triangle."""

from dataclasses import replace

import numpy as np
import task

from tankside.field.deposit import Segment
from tankside.field.growth import grow
from tankside.field.hierarchical import build_operators
from tankside.field.kinetics import ButlerVolmer
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem
from tankside.field.solve import solve


def solved(
    surface: task.Surface, what: str, _settings: dict[str, str], clock: task.Clock
) -> tuple[np.ndarray, float, dict]:
    kept = surface.body != task.LID if np.isfinite(surface.mirror) else surface.body >= 0
    panels = Panels(
        corners=surface.points[surface.triangles[kept]],
        group=surface.body[kept],
        mirror_level=surface.mirror if np.isfinite(surface.mirror) else None,
    )
    operators = build_operators(panels)
    clock.lap("operators")
    areas = surface.cathode_area
    problem = FieldProblem(
        panels=panels,
        conductivity=task.CONDUCTIVITY,
        electrodes=(
            Electrode(group=task.ANODE, anode=True, law=law(task.ANODE)),
            Electrode(group=task.CATHODE, anode=False, law=law(task.CATHODE)),
        ),
        total_current=areas * task.MEAN[what][-1],
    )
    if what == "one":
        solution = solve(problem, operators)
        wanted = solution.current_density
    else:
        recipe = [Segment(duration=task.STEP_SECONDS, current=areas * mean)
                  for mean in task.MEAN[what]]  # fmt: skip
        growth = grow(replace(problem, total_current=recipe[0].current), recipe, operators)
        solution, wanted = growth.solution, growth.thickness
    clock.lap("solve")
    iterations = [solution.newton_iterations, solution.linear_iterations]
    cathode = panels.group == task.CATHODE
    more = {"unknowns": len(panels), "iterations": iterations}
    return wanted[cathode], solution.cell_voltage, more


def law(body: int) -> ButlerVolmer:
    return ButlerVolmer(
        exchange_current_density=task.EXCHANGE[body],
        cathodic_transfer=task.CATHODIC,
        anodic_transfer=task.ANODIC,
        thermal_voltage=task.THERMAL_VOLTAGE,
    )


if __name__ == "__main__":
    task.main(solved)
