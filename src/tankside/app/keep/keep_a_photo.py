"""Use case: a photo into the store, with what it shows."""

from collections.abc import Sequence
from pathlib import PurePath

from tankside.app.keep.naming import added
from tankside.app.store_ports import Collection, Store
from tankside.app.store_records import Kept, Kind, PhotoRecord
from tankside.base.errors import BadInput, UnknownName

LARGEST = 30 * 2**20
"""[bytes]; photos of phones are a tenth of it."""
_HEADS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}


def keep_a_photo(
    store: Store,
    file_name: str,
    content: bytes,
    *,
    of: Sequence[str] = (),
    words: str = "",
    taken: float | None = None,
    name: str = "",
) -> Kept[PhotoRecord]:
    """Keeps a JPEG or PNG; `of` names the things that it shows, each as "run: finial". BadInput
    where it is too large, no photo, or shows what is not there."""
    if len(content) > LARGEST:
        raise BadInput(
            "the photo has more than {most} MiB; make it smaller",
            most=LARGEST // 2**20,
            where=file_name,
        )
    mime = next((mime for head, mime in _HEADS.items() if content.startswith(head)), None)
    if mime is None:
        raise BadInput("this is no JPEG or PNG; save the photo as one", where=file_name)
    ids = tuple(_id_of(store, one) for one in of)
    plain = PurePath(file_name).name
    file = store.keep_file(content, name=plain, mime=mime)
    wish = name.strip() or PurePath(plain).stem
    record = PhotoRecord(file=file, of=ids, words=words, taken=taken)
    return added(store.photos, wish, record)


def _id_of(store: Store, text: str) -> str:
    """The id of a thing named as "kind: name"."""
    kind, sign, name = text.partition(":")
    if not sign:
        raise BadInput("{text!r} names no thing; write for example 'run: finial'", text=text)
    return things(store, kind.strip()).get(name.strip()).id


def things(store: Store, kind: str) -> Collection[object]:
    """The collection of a kind by its word; UnknownName where there is no such kind."""
    known = {one.value for one in Kind}
    if kind not in known:
        raise UnknownName("the kind of thing", kind[:40], known)
    found: Collection[object] = getattr(store, {"supply": "supplies"}.get(kind, f"{kind}s"))
    return found
