"""A coated part as the metal of a field problem: the potential drop from each panel to the bar.

    -div_s(sigma_s grad_s V) = what the panels collect,   V = bar's potential at the contacts,

linear in the collected current for a given deposit, so that Newton's method of the cell takes it
into its linear operator and its preconditioner. Refuses coats that no contact reaches.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat, DepositConduction
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.network import Network, network_of
from tankside.field.seed.sheet import Factored, Sheet


@dataclass(frozen=True, kw_only=True)
class SeedShell:
    """A coat with a deposit on it; satisfies `MetalShell`. Build it by `seed_shell`.

    thickness  of the deposit on all panels (n,) [m]
    """

    coat: Coat
    conduction: DepositConduction
    contacts: tuple[ShellContact, ...]
    network: Network
    sheet: Sheet = field(repr=False)
    thickness: Floats = field(repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "thickness", frozen_floats(self.thickness))

    def drop(self, current_density: Floats) -> Floats:
        """Metal's potential above the bar's (n,) [V], for what is collected (n,) [A m⁻²]."""
        return self._by_panel(self.node_potentials(current_density))

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        """See `MetalShell.reacting`; one factorisation."""
        numbers = self.network.panels
        with_reaction = self._factored(response[numbers])

        def dropped(current_density: Floats) -> Floats:
            given = self.sheet.node_currents(current_density[numbers])
            return self._by_panel(with_reaction.potentials(given))

        return dropped

    def grown(self, thickness: Floats) -> "SeedShell":
        """The shell under a deposit of `thickness` (n,) [m]."""
        return replace(self, thickness=thickness)

    @property
    def insulated(self) -> Bools:
        """True on coated panels that take no current: bare, or fed by no contact (n,)."""
        return self.network.insulated

    @cached_property
    def sheet_conductance(self) -> Floats:
        """Of coat (along its strokes) and copper together, by square (n,) [S]; 0 off the shell."""
        conductance = np.zeros(len(self.thickness))
        numbers = self.network.panels
        conductance[numbers] = 1.0 / self.coat.sheet_resistance[numbers] + self._copper
        return conductance

    def node_potentials(self, current_density: Floats) -> Floats:
        """Of the nodes above the bar's [V]."""
        given = self.sheet.node_currents(current_density[self.network.panels])
        return self._plain.potentials(given)

    def contact_currents(self, current_density: Floats) -> Floats:
        """What each contact feeds to the coat (contacts,) [A]; they add up to all that the shell's
        panels collect."""
        potentials = self.node_potentials(current_density)
        given = self.sheet.node_currents(current_density[self.network.panels])
        stiffness = self.sheet.by_coat + self._copper[:, None, None] * self.sheet.by_unit
        leaving = np.einsum("tij,tj->ti", stiffness, potentials[self.network.nodes])
        into = given - np.bincount(self.network.nodes.ravel(), leaving.ravel(), self.network.count)
        found = np.zeros(len(self.contacts))
        for number, terminal in enumerate(self.network.terminals):
            if terminal >= 0:
                sharing = self.network.terminals == terminal
                weights = np.where(sharing, 1.0 / np.maximum(self._contact_resistances, 1e-300), 0)
                found[number] = into[terminal] * weights[number] / weights.sum()
        return found

    def heat(self, current_density: Floats) -> Floats:
        """Joule heat in coat and copper (n,) [W m⁻²], with that of the contacts on the panels under
        them."""
        potentials = self.node_potentials(current_density)[self.network.nodes]
        stiffness = self.sheet.by_coat + self._copper[:, None, None] * self.sheet.by_unit
        power = np.einsum("ti,tij,tj->t", potentials, stiffness, potentials)
        heat = np.zeros(len(self.thickness))
        heat[self.network.panels] = power / self.sheet.areas
        lost = self.contact_currents(current_density) ** 2 * self._contact_resistances
        for under, loss in zip(self.network.under, lost, strict=True):
            if len(under):
                heat[self.network.panels[under]] += loss / float(self.sheet.areas[under].sum())
        return heat

    @cached_property
    def _copper(self) -> Floats:
        """Sheet conductance of the deposit on the shell's panels (m,) [S]."""
        return self.conduction.sheet_conductance(self.thickness[self.network.panels])

    @cached_property
    def _contact_resistances(self) -> Floats:
        """Between the bar and each terminal (contacts,) [ohm]."""
        resistance = np.array([contact.resistance for contact in self.contacts])
        for number, under in enumerate(self.network.under):
            if len(under) and self.network.coarseness[number] > 0:
                local = float(self.sheet_conductance[self.network.panels[under]].mean())
                resistance[number] += self.network.coarseness[number] / local
        return resistance

    @cached_property
    def _plain(self) -> Factored:
        return self._factored(np.zeros(len(self.network.panels)))

    def _factored(self, reaction: Floats) -> Factored:
        grounds = np.zeros(self.network.count)
        for terminal, resistance in zip(
            self.network.terminals, self._contact_resistances, strict=True
        ):
            if terminal >= 0 and not self.sheet.held[terminal]:
                grounds[terminal] += 1.0 / resistance
        return self.sheet.factored(self._copper, reaction, grounds)

    def _by_panel(self, potentials: Floats) -> Floats:
        values = np.zeros(len(self.thickness))
        values[self.network.panels] = potentials[self.network.nodes].mean(axis=1)
        return values


def seed_shell(
    panels: Panels,
    coat: Coat,
    contacts: tuple[ShellContact, ...],
    conduction: DepositConduction,
    thickness: Floats | None = None,
) -> SeedShell:
    """The shell of a coat held by contacts, under a deposit of `thickness` (n,) [m], or none."""
    network = network_of(panels, coat, contacts)
    held = np.zeros(network.count, dtype=np.bool_)
    for number, terminal in enumerate(network.terminals):
        direct = contacts[number].resistance == 0 and network.coarseness[number] == 0
        if terminal >= 0 and direct:
            held[terminal] = True
    return SeedShell(
        coat=coat,
        conduction=conduction,
        contacts=contacts,
        network=network,
        sheet=Sheet.of(panels, coat, network, held),
        thickness=np.zeros(len(panels)) if thickness is None else thickness,
    )
