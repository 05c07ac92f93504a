"""Use case: what a shop's own tests have taught, kept so that later plans can stand on it."""

from tankside.app.keep.naming import found
from tankside.app.know_a_shop import ShopReply
from tankside.app.store_ports import Store
from tankside.app.store_records import Kept
from tankside.runs.calibration import Shop

KeptShop = Kept[Shop]
"""A shop as the store holds it."""


def keep_a_shop(store: Store, name: str, reply: ShopReply) -> KeptShop:
    """Keeps it under a name; as a new revision where it has changed."""
    shop = reply.learned.shop
    held = found(store.shops, name)
    if held is None:
        return store.shops.add(name, shop)
    was = held.value
    same = (
        was.names == shop.names
        and (was.mean == shop.mean).all()
        and (was.covariance == shop.covariance).all()
    )
    return held if same else store.shops.revise(held, shop)
