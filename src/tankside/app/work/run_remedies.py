"""What to do about what a watch saw, also of runs from before this server."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.work.kept_json import read_json, write_json

if TYPE_CHECKING:
    from tankside.app.carry_out_a_run import Moment

FILE = "remedies.json"


class Remedies:
    """Remedies by what was seen; kept in each run's folder."""

    def __init__(self) -> None:
        self._known: dict[str, str] = {}

    def noted(self, folder: Path, moment: "Moment") -> None:
        """Those of a moment's alarms, kept where they are new."""
        new = {one.seen: one.do for one in moment.alarms if one.seen not in self._known}
        if new:
            self._known.update(new)
            path = folder / FILE
            held = read_json(path) if path.is_file() else {}
            write_json(path, {**held, **new})

    def of(self, folder: Path, *, live: bool) -> Mapping[str, str]:
        """All that are known of a run; its folder is not read while it is `live`."""
        path = folder / FILE
        if live or not path.is_file():
            return self._known
        return {**read_json(path), **self._known}
