"""tankside shop TESTS.toml JOB.toml: what a shop's own tests say of its bath and coat."""

import argparse
import json
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tankside.app.keep.audits_of_a_bath import Observations
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Reads the tests and the job's bath, and shows each factor before and after."""
    from tankside.app.know_a_shop import know_a_shop_of

    job: Path = options.job
    tests: Path = options.tests
    job_text = _text(job, tools, "the job file")
    more: Observations = ()
    if options.audits:
        from tankside.app.keep.audits_of_a_bath import told_by_audits

        with closing(tools.store(options.store)) as store:
            more = told_by_audits(store, job_text, job.name)
    reply = know_a_shop_of(
        tests_text=_text(tests, tools, "the tests"),
        tests_name=tests.name,
        job_text=job_text,
        job_name=job.name,
        more=more,
    )
    if options.keep is not None:
        from tankside.app.keep.keep_a_shop import keep_a_shop

        with closing(tools.store(options.store)) as store:
            keep_a_shop(store, options.keep, reply)
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(reply.text())
        if options.keep is not None:
            sys.stdout.write(f"Kept; plan with it by: tankside plan ... --shop '{options.keep}'\n")
    return 0


def _text(path: Path, tools: "Tools", where: str) -> str:
    from tankside.app.plan_a_job import text_of

    return text_of(path.name, tools.files(path.parent), where=where)
