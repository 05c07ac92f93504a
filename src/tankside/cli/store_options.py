"""Options by which commands name what is in the store, and what they say of it."""

import argparse
from contextlib import closing
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.keep.keep_a_shop import KeptShop
    from tankside.app.ports import Tools


def which_store(parser: argparse.ArgumentParser) -> None:
    """The store itself."""
    parser.add_argument(
        "--store", metavar="PLACE", help="which store: a file, or postgresql://NAME@HOST/DATABASE"
    )


def what_it_is_for(parser: argparse.ArgumentParser) -> None:
    """What in the store a plan stands on or is for."""
    parser.add_argument("--shop", metavar="NAME", help="plan with what this kept shop has learned")
    parser.add_argument("--bath", default="", metavar="NAME", help="of the store, kept with it")
    parser.add_argument("--supply", default="", metavar="NAME", help="of the store, kept with it")


def named_shop(
    options: argparse.Namespace, tools: "Tools", *, kept: bool, keep: str
) -> "KeptShop | None":
    """The shop that the options name, if any; UnknownName or NothingKept, before the long work,
    where shop, bath or supply is not in the store. BadInput where bath or supply are named and
    nothing is `kept`; `keep` is the option that would."""
    if not kept and (options.bath or options.supply):
        raise BadInput("a bath and a supply are kept with the plan; add {keep}", keep=keep)
    if not (options.shop or options.bath or options.supply):
        return None
    with closing(tools.store(options.store or None)) as store:
        if options.bath:
            store.baths.get(options.bath)
        if options.supply:
            store.supplies.get(options.supply)
        return store.shops.get(options.shop) if options.shop else None
