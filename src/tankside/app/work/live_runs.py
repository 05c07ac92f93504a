"""Runs that the pages watch and steer: on a supply in a thread of its own, or by hand.

What happened is kept in the run's folder as it happens, so that a server that ends loses nothing: a
run found with its output on is paused, and goes on when the person says so. One run at a time has a
supply. What has come to a rest is taken into the shop's store.
"""

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from tankside.app.work import run_by_hand_kept as by_hand
from tankside.app.work.held_a_while import HeldAWhile
from tankside.app.work.run_chart import drawn, since_the_ramp, to_come
from tankside.app.work.run_folders import RunFolders
from tankside.app.work.run_intake import taken_into
from tankside.app.work.run_life import Surroundings, Watched, lived
from tankside.app.work.run_remedies import Remedies
from tankside.app.work.run_seen import SeenRun
from tankside.app.work.run_standings import standing_of_folder, standing_of_supply
from tankside.app.work.run_view import RunView, Standing, view_of
from tankside.app.work.run_ways import BY_HAND, OWN_HANDS, way_of
from tankside.app.work.run_wishes import act_of
from tankside.base.errors import BadInput, HardwareFault, TanksideError
from tankside.base.wording import quoting

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order
    from tankside.app.ports import Tools
    from tankside.app.run_ports import RunKeeper
    from tankside.app.store_ports import Store
    from tankside.app.work.run_by_hand_kept import HandReading

T = TypeVar("T")

_CHART_HELD_S = 3.0
_VIEW_HELD_S, _KEPT_HELD_S = 0.4, 5.0
_OBEYED_WITHIN_S = 6.0


class LiveRuns:
    """The runs of a folder. Safe to use from any thread."""

    def __init__(self, root: Path, tools: "Tools", store: "Store | None" = None) -> None:
        """`store` takes in every run that has come to a rest, where one is given."""
        self._tools, self._store = tools, store
        self._folders = RunFolders(root, tools)
        self._lock = threading.RLock()
        self._watched: dict[str, Watched] = {}
        self._told: dict[str, str] = {}
        self._remedies = Remedies()
        self._charts = HeldAWhile[dict[str, Any]](_CHART_HELD_S)
        self._views = HeldAWhile[RunView](_VIEW_HELD_S)
        self._standings = HeldAWhile[Standing](_KEPT_HELD_S)
        self._closing = False

    def begin(
        self,
        order: Mapping[str, Any],
        supply: str,
        hurry: float = 1.0,
        fault: str = "",
        plan: str = "",
        stored_plan: str = "",
    ) -> str:
        """A new run after an order; its id. Nothing is switched on yet. `plan` is the id of the
        work that planned it, `stored_plan` that of the plan in the store."""
        origin = {"plan": plan, "stored_plan": stored_plan}
        return self._folders.made(order, {**way_of(supply, hurry, fault), **origin})

    def all(self) -> tuple[RunView, ...]:
        """All runs, newest first."""
        return tuple(self.view(id) for id in self._folders.ids())

    def wish(self, id: str, word: str) -> None:
        """Lets something be done (see run_wishes.ACTS); returns when it is, or raises what stood
        against it."""
        act, how = act_of(word), self.how(id)
        if how["supply"] in OWN_HANDS or (act.dry and not self._lives(id)):
            self._done_by_hand(id, how, word)
            return
        watched = self._followed(id)
        watched.done.pop(word, None)
        watched.wishes.append(word)
        end = time.monotonic() + _OBEYED_WITHIN_S
        while time.monotonic() < end and word not in watched.done:
            if not watched.thread.is_alive():
                break
            time.sleep(0.02)
        self._forget_views(id)
        refusal = watched.done.get(word, self._told.get(id, ""))
        if refusal:
            raise BadInput(refusal)

    def read(self, id: str, readings: "Sequence[HandReading]") -> None:
        """Takes in what a person read off the meters; those that came too late for their place in
        time are noted with their values, and not counted."""
        if self.how(id)["supply"] != BY_HAND:
            raise BadInput("the supply of this run reads its own meters; nothing is to be typed")
        with self._lock:
            keeper, order = self.opened(id)
            try:
                by_hand.taken_in(order, keeper, readings, time.time())
                self._taken(id, keeper)
            finally:
                keeper.close()
            self._forget_views(id)

    def view(self, id: str) -> RunView:
        """Where it stands."""
        with self._lock:  # a run's folder is opened anew only while no thread writes into it
            return self._views.of(
                id, lambda: self._viewed(id), anew=lambda view: view.supply == BY_HAND
            )

    def chart(self, id: str) -> dict[str, Any]:
        """Samples for a chart, thinned so that no spike is lost; times [h] since the first."""
        self.how(id)
        with self._lock:
            return self._charts.of(id, lambda: self._drawn(id))

    def to_come(self, id: str) -> dict[str, list[float]]:
        """What the plan expects from now on; nothing once the run is over."""
        view, order = self.view(id), self.order(id)
        charge = order.recipe.expected_charge if view.over else view.charge
        return to_come(order.recipe, order.expected, charge)

    def order(self, id: str) -> "Order":
        """What the run is to do."""
        with self._lock:
            return self._folders.order(id)

    def opened(self, id: str) -> "tuple[RunKeeper, Order]":
        """The run's place, to be closed, and its order. Only while no thread writes into it."""
        return self._folders.opened(id)

    def seen(self, id: str) -> "SeenRun":
        """The run's order, events and samples as they are now, whether or not it goes on."""
        with self._lock:
            live = self._watched[id].live if self._lives(id) else None
            if live is not None:
                return SeenRun.of(live.keeper)
            keeper, _ = self.opened(id)
            try:
                return SeenRun.of(keeper)
            finally:
                keeper.close()

    def looked_into(self, id: str, reading: "Callable[[Order, RunKeeper], T]") -> T:
        """What `reading` makes of a run's order and log; BadInput while a supply follows it."""
        with self._lock:
            self.how(id)
            if self._lives(id):
                raise BadInput("this run is going on; pause it, or wait for its end", where="run")
            keeper, order = self.opened(id)
            try:
                return reading(order, keeper)
            finally:
                keeper.close()

    def folder(self, id: str) -> Path:
        """Where the run's files lie."""
        return self._folders.folder(id)

    def how(self, id: str) -> dict[str, Any]:
        """How it is carried out, as it was said when it was made."""
        return self._folders.how(id)

    def changed(self, id: str) -> None:
        """Something was added to the run's folder: it is taken into the store, and seen anew."""
        with self._lock:
            keeper, _ = self.opened(id)
            try:
                self._taken(id, keeper)
            finally:
                keeper.close()
            self._forget_views(id)

    def close(self) -> None:
        """Pauses what runs: output off."""
        with self._lock:
            self._closing = True
            threads = [one.thread for one in self._watched.values()]
        for thread in threads:
            thread.join(timeout=10)

    def _lives(self, id: str) -> bool:
        watched = self._watched.get(id)
        return watched is not None and watched.thread.is_alive()

    def _followed(self, id: str) -> Watched:
        """The run's thread, started if it has none; BadInput while another has the supply."""
        how = self.how(id)
        self._let_end()
        with self._lock:
            busy = [name for name, one in self._watched.items() if one.thread.is_alive()]
            if id in busy:
                return self._watched[id]
            if busy:
                raise BadInput(
                    "the run of {title} has the supply; end that run, or give it up, and then "
                    "begin this one",
                    title=self._folders.order(busy[0]).title,
                )
            self._told.pop(id, None)
            thread = threading.Thread(target=self._life, args=(id, how), name=id, daemon=True)
            self._watched[id] = Watched(thread=thread)
            thread.start()
            return self._watched[id]

    def _let_end(self) -> None:
        """Waits for runs that are over and only have their last lines to write."""
        for one in tuple(self._watched.values()):
            if one.live is not None and one.live.state.over:
                one.thread.join(timeout=_OBEYED_WITHIN_S)

    def _life(self, id: str, how: Mapping[str, Any]) -> None:
        try:
            keeper, order = self.opened(id)
        except (TanksideError, OSError) as error:
            self._told[id] = str(error)
            return
        folder = self.folder(id)
        around = Surroundings(
            tools=self._tools.runs(),
            lock=self._lock,
            closing=lambda: self._closing,
            noted=lambda moment: self._remedies.noted(folder, moment),
        )
        try:
            if keeper.events():  # it was cut off: what the folder holds goes into the store first
                self._taken(id, keeper)
            lived(self._watched[id], how, keeper, order, around)
        except HardwareFault as fault:
            self._told[id] = quoting("{fault}; the output is off", fault=fault)
        except (TanksideError, OSError) as error:
            self._told[id] = str(error)
        finally:
            self._taken(id, keeper)
            keeper.close()
            with self._lock:
                self._forget_views(id)

    def _done_by_hand(self, id: str, how: Mapping[str, Any], word: str) -> None:
        with self._lock:
            keeper, order = self.opened(id)
            try:
                by_hand.done(order, keeper, word, time.time())
                self._taken(id, keeper)
            finally:
                keeper.close()
            self._forget_views(id)

    def _taken(self, id: str, keeper: "RunKeeper") -> None:
        """Into the store; told, not raised, where the store cannot: the run's folder has it all."""
        if self._store is None:
            return
        try:
            title = self._folders.order(id).title
            taken_into(self._store, self.folder(id), self.how(id), title, keeper)
        except TanksideError as error:
            self._told[id] = quoting(
                "{error}; the run is in its own folder, and not in the store yet", error=error
            )

    def _forget_views(self, id: str) -> None:
        for held in (self._views, self._standings, self._charts):
            held.forget(id)

    def _viewed(self, id: str) -> RunView:
        how = self.how(id)
        return view_of(
            id,
            how,
            self._standing(id, how),
            now=time.time(),
            told=self._told.get(id, ""),
            remedies=self._remedies.of(self.folder(id), live=self._lives(id)),
        )

    def _standing(self, id: str, how: Mapping[str, Any]) -> Standing:
        if self._lives(id):
            live = standing_of_supply(self._watched[id], self._folders.order(id))
            if live is not None:
                return live
        by_hand_now = how["supply"] == BY_HAND
        return self._standings.of(id, lambda: self._found(id, how), anew=lambda _: by_hand_now)

    def _found(self, id: str, how: Mapping[str, Any]) -> Standing:
        keeper, order = self.opened(id)
        try:
            if how["supply"] == BY_HAND:
                return by_hand.standing(order, keeper, time.time())
            return standing_of_folder(order, keeper)
        finally:
            keeper.close()

    def _drawn(self, id: str) -> dict[str, Any]:
        from tankside.runs.series import longest_gap_of

        seen = self.seen(id)
        if self.how(id)["supply"] == BY_HAND:
            return by_hand.chart(self._folders.order(id), seen)
        series = since_the_ramp(seen)
        return drawn(series, self._folders.order(id).expected, longest_gap_of(series))
