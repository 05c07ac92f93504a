"""Products by name, as notes in a ledger use them: the ledger's own, the shelf's, the grades'."""

from tankside.base.errors import BadInput, UnknownName
from tankside.bath.inventory import events as ev
from tankside.substances.products import Product, grade, grades


class LedgerProducts:
    """Looks products up, and remembers those of which the ledger has no bottle yet."""

    def __init__(self, held: ev.Ledger, shelf: bytes | str, shelf_name: str) -> None:
        self._known = {e.product.name: e.product for e in held if isinstance(e, ev.Bottle)}
        self._shelf: dict[str, Product] = {}
        if shelf:
            # only here, as the tools of a shelf bring the make-up's optimiser along
            from tankside.app.bath.shelf_file import bench_of
            from tankside.app.bath.tables import tables_of

            bench = bench_of(tables_of(shelf, where=shelf_name), where=shelf_name)
            self._shelf = {one.product.name: one.product for one in bench.stocks}
        self._new: dict[str, Product] = {}

    def product(self, name: str) -> Product:
        """The product; "tap" is also "tap water". UnknownName offers close ones."""
        for word in (name, f"{name} water"):
            if word in self._known:
                if word in self._shelf:
                    refuse_other_label(self._known[word], self._shelf[word])
                return self._known[word]
            found = self._shelf.get(word) or _graded(word)
            if found is not None:
                self._new[found.name] = found
                return found
        known = {*self._known, *self._shelf, *(one.name for one in grades())}
        raise UnknownName("product", name, known)

    def bottles(self, at: float) -> tuple[ev.Bottle, ...]:
        """The bottles that must be noted before what named them; from then on they are known."""
        found = tuple(
            ev.Bottle(at=at, id=f"bottle of {name}", product=one)
            for name, one in self._new.items()
            if name not in self._known
        )
        self._known |= self._new
        self._new = {}
        return found

    def know(self, event: ev.Event) -> None:
        """A bottle that was typed is known from then on."""
        if isinstance(event, ev.Bottle):
            self._known[event.product.name] = event.product


def refuse_other_label(known: Product, new: Product) -> None:
    """BadInput where a product has the name of one of the ledger's and another label: what was
    poured from the old bottle must not change with the new one."""
    for part in ("form", "contents", "density", "chloride"):
        if getattr(known, part) != getattr(new, part):
            raise BadInput(
                "the ledger knows {known!r} by another label; give the new bottle a name of its "
                "own, such as '{known_name} 2'",
                known=known.name,
                known_name=known.name,
            )


def _graded(name: str) -> Product | None:
    try:
        return grade(name)
    except UnknownName:
        return None
