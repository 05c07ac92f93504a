"""Use case: the drawing of one fault, to pick it by."""

from tankside.app.ports import Tools
from tankside.base.messages import ENGLISH, Reader, said
from tankside.diagnosis.loading import atlas


def picture_of_fault(tools: Tools, fault: str, reader: Reader = ENGLISH) -> bytes:
    """As SVG for a reader; UnknownName where the atlas has no such fault."""
    held = atlas().fault(fault)
    return tools.diagnosis_sheets().picture(
        held.id, said("{name}: {look}", name=held.name, look=held.look), reader
    )
