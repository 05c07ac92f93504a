"""Wires the adapters into the use cases and starts a face."""

import os
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tankside.app.bath_sheet_port import BathSheets
    from tankside.app.diagnosis_port import DiagnosisSheets
    from tankside.app.ledger_port import BathLedger
    from tankside.app.ports import Done, Files, Sheets, Sweeps
    from tankside.app.run_ports import RunSheets, RunTools
    from tankside.app.serving import ServeOptions
    from tankside.app.store_ports import Store
    from tankside.app.work.workplace import Workplace


class _LocalTools:
    """The adapters of this machine, each imported when first asked for."""

    def files(self, folder: Path) -> "Files":
        from tankside.storage.local_files import LocalFiles

        return LocalFiles(folder)

    def sheets(self) -> "Sheets":
        from tankside.sheets.plan_sheets import PlanSheets

        return PlanSheets()

    def write(self, folder: Path, files: Mapping[str, bytes]) -> None:
        from tankside.sheets.files import written

        written(folder, files)

    def sweeps(self, address: str | None, workers: int | None) -> "AbstractContextManager[Sweeps]":
        if address is not None:
            from tankside.sweeps.dask_cluster import DaskCluster

            return DaskCluster(address)
        if workers == 0:
            from tankside.sweeps.here import InThisProcess

            return InThisProcess()
        from tankside.sweeps.local_pool import LocalPool

        return LocalPool(workers)

    def journal(
        self, path: Path, *, encode: Callable[[Any], Any], decode: Callable[[Any], Any]
    ) -> "Done":
        from tankside.sweeps.journal import Journal

        return Journal(path, encode=encode, decode=decode)

    def bath_sheets(self) -> "BathSheets":
        from tankside.sheets.bath.makers import TypesetBathSheets

        return TypesetBathSheets()

    def run_sheets(self) -> "RunSheets":
        from tankside.sheets.run.makers import TypesetRunSheets

        return TypesetRunSheets()

    def serve(self, options: "ServeOptions") -> None:
        from tankside.app.work.live_runs import LiveRuns
        from tankside.app.work.preferences import KeptPreferences
        from tankside.app.work.queue import WorkQueue
        from tankside.app.work.workplace import Workplace
        from tankside.storage.home import home_folder
        from tankside.storage.store.opening import opened
        from tankside.web.application import Desk, application
        from tankside.web.server import served

        home = home_folder() if options.home is None else options.home
        environment = {**os.environ, "TANKSIDE_HOME": str(home)}
        store = opened(options.store, environment)
        place = Workplace(
            home=home,
            queue=WorkQueue(home / "work", self),
            runs=LiveRuns(home / "runs", self, store),
            store=store,
            tools=self,
            preferences=KeptPreferences(home),
        )
        served(
            options,
            lambda access, port: application(
                Desk(place=place, access=access, port=port), lambda: _api(place)
            ),
        )

    def diagnosis_sheets(self) -> "DiagnosisSheets":
        from tankside.sheets.diagnosis.makers import TypesetDiagnosisSheets

        return TypesetDiagnosisSheets()

    def photo(self, path: Path) -> Any:
        from tankside.storage.photo_file import read_photo

        return read_photo(path)

    def runs(self) -> "RunTools":
        from tankside.hardware.run_tools import LocalRunTools
        from tankside.storage.run_folder import RunFolder

        return LocalRunTools(begun=RunFolder.begun, opened=RunFolder.opened)

    def ledger(self, path: Path) -> "BathLedger":
        from tankside.storage.ledger_file import LedgerFile

        return LedgerFile(path)

    def store(self, address: str | None) -> "Store":
        from tankside.storage.store.opening import opened

        return opened(address)


def _api(place: "Workplace") -> Any:
    """The API as an application, loaded when it is made."""
    from tankside import __version__
    from tankside.api.application import api

    return api(place, __version__)


def run(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and returns its exit status."""
    from tankside.cli.command_line import answer

    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8")  # a redirected stream on Windows is not
    return answer(list(sys.argv[1:] if arguments is None else arguments), _LocalTools())
