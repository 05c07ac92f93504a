"""tankside run begin: plan a job, and make the place of its run."""

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.order_a_run import Order, as_json, order_of
from tankside.app.plan_a_job import PlanReply, PlanRequest, plan_a_job
from tankside.cli.progress_line import progress_done, progress_line
from tankside.cli.run.place import words_of
from tankside.cli.run.talk import hours, say
from tankside.cli.store_options import named_shop

if TYPE_CHECKING:
    from tankside.app.ports import Tools
    from tankside.app.store_records import Reference


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Plans, and makes the run; nothing is switched on yet."""
    job: Path = options.job
    files = tools.files(job.parent)
    text = files.read(job.name, where="the job file").decode("utf-8-sig")
    shop = named_shop(options, tools, kept=options.store is not None, keep="--store")
    request = PlanRequest(
        job_text=text,
        job_name=job.name,
        files=files,
        shop=None if shop is None else shop.value,
    )
    reply = plan_a_job(request, progress_line(quiet=options.quiet))
    order = order_of(reply, text)
    progress_done(quiet=options.quiet)
    if options.store is None:
        tools.runs().begun(Path(options.run_name), as_json(order)).close()
    else:
        used = None if shop is None else shop.reference
        options.run_name = _stored(request, reply, order, used, options, tools)
    words = words_of(options)
    say(f"{order.title}: {_amounts(order)}")
    say(f"The run is ready: {words}. Go on with one of")
    say(f"  tankside run go {words} --supply NAME    (names: tankside run supplies)")
    say(f"  tankside run hand {words}")
    return 0


def _stored(
    request: PlanRequest,
    reply: PlanReply,
    order: Order,
    shop: "Reference | None",
    options: argparse.Namespace,
    tools: "Tools",
) -> str:
    """Plan and run in the store; the run's name, which is the one wished for if it was free."""
    from tankside.app.keep.keep_a_plan import PlanToKeep, keep_a_plan
    from tankside.app.keep.stored_run import begun

    with closing(tools.store(options.store or None)) as store:
        plan = keep_a_plan(
            store,
            options.run_name,
            PlanToKeep(
                job_text=request.job_text,
                job_name=request.job_name,
                files=request.files,
                reply=tools.sheets().reply(reply.plan, reply.seconds),
                sheets={},
                shop=shop,
                bath=options.bath,
                supply=options.supply,
            ),
        )
        return begun(store, options.run_name, as_json(order), plan=plan.id).run.name


def _amounts(order: "Order") -> str:
    last = order.recipe.settings[-1]
    return (
        f"{last.current:.3g} A under {last.voltage_limit:.3g} V, "
        f"{order.recipe.expected_charge / 3600:.3g} Ah in "
        f"{hours(order.recipe.expected_duration)}, {1e3 * order.planned_mass:.3g} g of copper."
    )
