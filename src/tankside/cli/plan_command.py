"""tankside plan JOB.toml: the plan as a summary or JSON, its files with --out, kept with --keep."""

import argparse
import json
import sys
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput
from tankside.base.messages import Reader
from tankside.base.units import UNIT_SYSTEMS
from tankside.cli.progress_line import progress_done, progress_line
from tankside.cli.store_options import named_shop

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tankside.app.keep.keep_a_shop import KeptShop
    from tankside.app.plan_a_job import PlanReply, PlanRequest
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Reads the job file, plans it, and shows the plan."""
    job: Path = options.job
    files = tools.files(job.parent)
    text = files.read(job.name, where="the job file")
    try:
        decoded = text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("not a text file in UTF-8", where=job.name) from error
    return shown(decoded, job.name, job.parent, options, tools)


def shown(text: str, name: str, folder: Path, options: argparse.Namespace, tools: "Tools") -> int:
    """Plans the job in `text` and prints, writes or keeps what was asked for."""
    from tankside.app.plan_a_job import PlanRequest, plan_a_job

    quiet = options.quiet
    shop = named_shop(options, tools, kept=options.keep is not None, keep="--keep NAME")
    request = PlanRequest(
        job_text=text,
        job_name=name,
        files=tools.files(folder),
        shop=None if shop is None else shop.value,
    )
    reply = plan_a_job(request, progress_line(quiet=quiet))
    wanted = options.out is not None or options.keep is not None
    sheets = _sheets(reply, options, tools) if wanted else {}
    if options.out is not None:
        tools.write(options.out, sheets)
    progress_done(quiet=quiet)
    kept = None if options.keep is None else _kept(request, reply, sheets, shop, options, tools)
    maker = tools.sheets()
    if options.json:
        json.dump(maker.reply(reply.plan, reply.seconds), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
        return 0
    sys.stdout.write(maker.summary(reply.plan, UNIT_SYSTEMS[options.units]))
    if options.out is not None:
        sys.stdout.write(f"\nMap, panels, sheet and the rig's drawing are in {options.out}\n")
    if kept is not None:
        sys.stdout.write(f"\nThe plan is in the store as {kept!r}\n")
    return 0


def _kept(
    request: "PlanRequest",
    reply: "PlanReply",
    sheets: "Mapping[str, bytes]",
    shop: "KeptShop | None",
    options: argparse.Namespace,
    tools: "Tools",
) -> str:
    """The name under which the plan is in the store."""
    from tankside.app.keep.keep_a_plan import PlanToKeep, keep_a_plan
    from tankside.app.work.folder import VIEW

    plan = PlanToKeep(
        job_text=request.job_text,
        job_name=request.job_name,
        files=request.files,
        reply=tools.sheets().reply(reply.plan, reply.seconds),
        sheets={**sheets, VIEW: tools.sheets().view_of_plan(reply.plan)},
        shop=None if shop is None else shop.reference,
        bath=options.bath,
        supply=options.supply,
    )
    with closing(tools.store(options.store)) as store:
        return keep_a_plan(store, options.keep, plan).name


def _sheets(
    reply: "PlanReply", options: argparse.Namespace, tools: "Tools"
) -> "Mapping[str, bytes]":
    from tankside.app.ports import SheetRequest

    request = SheetRequest(
        title=reply.title,
        prepared=date.today().isoformat(),
        paper=options.paper,
        reader=Reader(units=UNIT_SYSTEMS[options.units]),
    )
    return tools.sheets().files(reply.plan, request)
