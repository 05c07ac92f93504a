"""Use case: the drawing of one fault, to pick it by."""

from tankside.app.ports import Tools
from tankside.diagnosis.loading import atlas


def picture_of_fault(tools: Tools, fault: str) -> bytes:
    """As SVG; UnknownName where the atlas has no such fault."""
    held = atlas().fault(fault)
    return tools.diagnosis_sheets().picture(held.id, f"{held.name}: {held.look}")
