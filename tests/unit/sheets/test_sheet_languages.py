"""Every word of a sheet is in its reader's language; what has none are names, units and works."""

from tankside.app.bath_sheet_port import TankLabel
from tankside.app.ports import SheetRequest
from tankside.base.messages import Quantity, said
from tankside.bath.composition import Composition
from tankside.bath.makeup import made_up
from tankside.plan.plan import Plan
from tankside.safety.labels import bath_contents, label
from tankside.sheets.bath.makers import TypesetBathSheets
from tankside.sheets.picture_histogram import histogram_picture
from tankside.sheets.picture_part import part_picture
from tankside.sheets.plan_pdf import sheet_words
from tankside.sheets.wording import written_for
from tests.unit.bath.makeup.shelf import request as shelf_request
from tests.unit.sheets.brackets import bare, drawn_texts, how, outside, texts
from tests.unit.web.test_languages import bracketed

__all__ = ["bracketed", "how"]
BATHS = TypesetBathSheets()


def test_a_mixing_sheet_is_in_the_reader_s_language(how: SheetRequest) -> None:
    plan = made_up(shelf_request())
    tools = [one.reading.tool for one in plan.amounts if one.reading is not None]
    names = [*(one.product for one in plan.amounts), *tools]
    assert list(bare(BATHS.mixing(plan, how), *names)) == []


def test_a_label_is_in_the_reader_s_language(how: SheetRequest) -> None:
    bath = Composition(copper_sulfate_pentahydrate=75, sulfuric_acid=190, chloride=0.07)
    made = label("long tank", bath_contents(bath, 298.15))
    contents = [said("{part}: up to {share}", part=said("copper"), share=Quantity(0.07, "percent"))]
    pdf = BATHS.label(TankLabel(label=made, contents=contents), how)
    assert list(bare(pdf, "long tank")) == []


def test_what_a_plan_s_sheet_says_is_in_the_reader_s_language(
    plan: Plan, how: SheetRequest
) -> None:
    invented = (*plan.cautions, *plan.assumptions, *plan.warnings, plan.limited_by)
    words = sheet_words(plan, how)
    left = {key: value for key, value in words.items() if key not in ("sources",)}
    found = [text for text in texts(left) if text not in invented]
    assert len(found) > 60
    assert [text for text in found if list(outside(text, ()))] == []


def test_a_plan_s_pictures_are_in_the_reader_s_language(plan: Plan, how: SheetRequest) -> None:
    with written_for(how.reader):
        pictures = (part_picture(plan), histogram_picture(plan))
    for picture in pictures:
        found = drawn_texts(picture)
        assert len(found) > 5
        assert [text for text in found if list(outside(text, ()))] == []
