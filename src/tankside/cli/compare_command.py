"""tankside compare PLAN PLAN ...: plans beside each other, each against the first.

A PLAN is a file of `tankside plan --json`, a job file, which is planned now, or the name of a plan
in the store.
"""

import argparse
import json
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.base.errors import BadInput
from tankside.base.units import UNIT_SYSTEMS
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tankside.app.compare_plans import PlanToCompare
    from tankside.app.ports import Tools

PRICES = ("copper", "electricity", "coat")


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Finds or makes the plans, and prints them."""
    from tankside.app.compare_plans import CompareRequest, compare_plans

    plans = tuple(_found(one, options, tools) for one in options.plans)
    prices = {name: getattr(options, name) for name in PRICES if getattr(options, name)}
    reply = compare_plans(CompareRequest(plans=plans, prices=prices))
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1, ensure_ascii=False, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(reply.text(UNIT_SYSTEMS[options.units]))
    return 0


def _found(name: str, options: argparse.Namespace, tools: "Tools") -> "PlanToCompare":
    from tankside.app.compare_plans import PlanToCompare

    path = Path(name)
    if path.suffix.lower() == ".toml":
        return PlanToCompare(name=path.stem, reply=_planned(path, options, tools))
    if path.suffix.lower() == ".json":
        return PlanToCompare(name=path.stem, reply=_read(path, tools))
    with closing(tools.store(options.store or None)) as store:
        return PlanToCompare(name=name, reply=store.plans.get(name).value.reply.entries())


def _read(path: Path, tools: "Tools") -> "Mapping[str, Any]":
    content = tools.files(path.parent).read(path.name, where="the plan")
    try:
        found = json.loads(content.decode("utf-8-sig"))
    except ValueError as error:
        raise BadInput("not JSON as `tankside plan --json` prints it", where=path.name) from error
    if not isinstance(found, dict):
        raise BadInput("not a plan as `tankside plan --json` prints it", where=path.name)
    return found


def _planned(path: Path, options: argparse.Namespace, tools: "Tools") -> "Mapping[str, Any]":
    from tankside.app.plan_a_job import PlanRequest, plan_a_job, text_of

    files = tools.files(path.parent)
    text = text_of(path.name, files, where="the job file")
    request = PlanRequest(job_text=text, job_name=path.name, files=files)
    reply = plan_a_job(request, progress_line(quiet=options.quiet))
    progress_done(quiet=options.quiet)
    return tools.sheets().reply(reply.plan, reply.seconds)
