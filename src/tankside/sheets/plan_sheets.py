"""The maker of sheets behind the port of that name in app: a plan as reply, summary and files."""

from collections.abc import Mapping
from typing import Any

from tankside.app.ports import SheetRequest
from tankside.base.messages import Reader
from tankside.base.units import UnitSystem
from tankside.cell.bodies import Cell
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Plan


class PlanSheets:
    """Makes everything in memory; each maker is imported when first asked for."""

    def reply(self, plan: Plan, seconds: float) -> dict[str, Any]:
        """The plan as the JSON object of the open contract."""
        from tankside.sheets.json_reply import plan_json

        return plan_json(plan, seconds)

    def summary(self, plan: Plan, units: UnitSystem = UnitSystem.METRIC) -> str:
        """The plan as text for a terminal."""
        from tankside.sheets.summary import summary_text
        from tankside.sheets.wording import written_for

        with written_for(Reader(units=units)):
            return summary_text(plan)

    def view_of_plan(self, plan: Plan) -> bytes:
        """The bodies with what lies on them, packed for a view on a screen."""
        from tankside.sheets.view_pack import view_of_plan

        return view_of_plan(plan)

    def view_of_part(self, mesh: TriangleMesh) -> bytes:
        """A mesh alone, packed the same way."""
        from tankside.sheets.view_pack import view_of_part

        return view_of_part(mesh)

    def files(self, plan: Plan, request: SheetRequest) -> Mapping[str, bytes]:
        """map.glb, map.vtu, panels.parquet, plan.pdf and rig.svg."""
        from tankside.sheets.map_glb import map_glb
        from tankside.sheets.map_vtu import map_vtu
        from tankside.sheets.panel_table import panels_parquet
        from tankside.sheets.plan_pdf import plan_pdf

        sheet = plan_pdf(plan, request)
        return {
            "map.glb": map_glb(plan),
            "map.vtu": map_vtu(plan),
            "panels.parquet": panels_parquet(plan),
            "plan.pdf": sheet,
            **self.rig(plan.cell, request),
        }

    def rig(self, cell: Cell, request: SheetRequest, name: str = "rig") -> Mapping[str, bytes]:
        """NAME.svg: how everything hangs, with lengths; NAME-sheet-2.svg where the tables go on."""
        from tankside.sheets.rig.sheet import rig_files

        return rig_files(cell, request, name=name)

    def rig_reply(self, cell: Cell) -> dict[str, Any]:
        """How everything hangs as plain values."""
        from tankside.sheets.rig.reply import rig_json

        return rig_json(cell)
