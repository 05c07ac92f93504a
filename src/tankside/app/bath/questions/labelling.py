"""Which label: of a bath by its ledger, of a bottle of the shelf, or of a common product, each by
one text such as "bath long tank", "bottle battery acid" or "grade soda ash".
"""

from collections.abc import Mapping

from tankside.app.bath.choices import grade_names
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.kept_shelf import WHERE, KeptShelf
from tankside.app.bath.label_a_bottle import LabelReply, LabelRequest, label_a_bottle
from tankside.app.bath.questions.field import Choices
from tankside.app.bath.questions.keeping import LABEL
from tankside.app.bath.questions.reading import answers_of, told_at_fields
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.store_ports import Store
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import UnknownName
from tankside.base.wording import term

BATH, BOTTLE, GRADE = "bath", "bottle", "grade"


def labelled(store: Store, shelf: KeptShelf) -> Choices:
    """All that can have a label: the text, and its words."""
    return (
        *((f"{BATH} {one.name}", one.name) for one in store.baths.all()),
        *((f"{BOTTLE} {one.product.name}", one.product.name) for one in shelf.bench().stocks),
        *((f"{GRADE} {name}", name) for name in grade_names()),
    )


def label(store: Store, shelf: KeptShelf, typed: Mapping[str, str]) -> tuple[LabelReply, int]:
    """The label, and how many of it go on a sheet."""
    given = answers_of(LABEL, typed)
    kind, _, name = given["of"].partition(" ")
    if kind not in (BATH, BOTTLE, GRADE) or not name:
        raise FormFault(
            {"of": term("say 'bath', 'bottle' or 'grade' and a name: 'bottle battery acid'")}
        )
    top = given["name"] or name
    with told_at_fields(LABEL):
        return label_a_bottle(_request(store, shelf, kind, name, top)), int(given["copies"])


def _request(store: Store, shelf: KeptShelf, kind: str, name: str, top: str) -> LabelRequest:
    if kind == BATH:
        known = {one.name: one.id for one in store.baths.all(archived=True)}
        if name not in known:
            raise UnknownName("the bath", name[:40], known)
        return LabelRequest(
            identifier=top, ledger=LedgerAsked(ledger=StoredLedger(store, known[name]))
        )
    if kind == GRADE:
        return LabelRequest(identifier=top, grade=name)
    return LabelRequest(
        identifier=top,
        product=name,
        shelf=shelf.text() if shelf.tables() else "\n",
        shelf_name=WHERE,
    )
