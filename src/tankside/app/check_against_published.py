"""Use case: hold Tankside against the published world, case by case."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.progress import Progress, silent
from tankside.base.wording import either
from tankside.validation.cases import Verdict, cases, judged


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRequest:
    """Which cases: those whose id begins with one of `only` (all where empty), without the slow
    ones where `fast`."""

    only: Sequence[str] = ()
    fast: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReply:
    """The verdicts, in order."""

    verdicts: tuple[Verdict, ...]

    @property
    def failed(self) -> int:
        """How many cases lie outside their limit."""
        return sum(not verdict.ok for verdict in self.verdicts)

    def as_json(self) -> list[dict[str, Any]]:
        """Rows with the keys of the open contract."""
        return [
            {
                "id": verdict.case.id,
                "what": verdict.case.what,
                "source": verdict.case.source,
                "locator": verdict.case.locator,
                "evidence": verdict.case.evidence,
                "unit": verdict.case.unit,
                "expected": verdict.case.expected,
                "computed": verdict.computed,
                "deviation": verdict.deviation,
                "limit": verdict.case.limit,
                "absolute": verdict.case.absolute,
                "ok": verdict.ok,
            }
            for verdict in self.verdicts
        ]


def check_against_published(request: CheckRequest, progress: Progress = silent) -> CheckReply:
    """Computes the asked cases; BadInput where none is asked for by those names."""
    chosen = [
        case
        for case in cases()
        if (not request.only or case.id.startswith(tuple(request.only)))
        and not (request.fast and case.slow)
    ]
    if not chosen:
        groups = ", ".join(sorted({case.id.split(".")[0] for case in cases()}))
        raise BadInput(
            "no case begins with {names}; there are: {groups}",
            names=either(request.only),
            groups=groups,
        )
    verdicts = []
    for number, case in enumerate(chosen):
        progress(f"case {case.id}", number / len(chosen))
        verdicts.append(judged(case))
    return CheckReply(verdicts=tuple(verdicts))
