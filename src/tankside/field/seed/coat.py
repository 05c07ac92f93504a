"""The conducting coat of a part and the copper on it, as numbers per panel.

A panel's sheet conductance is that of its coat and of its copper side by side,
    sigma = 1 / R_coat + h² / (rho (h + l)),
rho the thick deposit's resistivity. The film length l makes thin copper a worse conductor: to first
order, scattering at a film's faces raises its resistivity by 3/8 of the electrons' free path over
the thickness (Fuchs 1938), grains of a film's size do as much again, and islands that have not yet
met conduct nothing.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced

FILM_LENGTH = Sourced(
    name="thickness at which a young deposit's resistivity is twice that of a thick one",
    value=Interval(15e-9, 100e-9, 1e-6),
    unit="m",
    evidence=Evidence.GUESS,
    valid="copper on a conducting paint, from nuclei to a closed film",
    note="the low end is 3/8 of a free path of 39 nm (from memory), for a closed film; the rest is "
    "for grains, and for islands that grow to a fraction of a micrometre before they meet",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DepositConduction:
    """How copper conducts along a surface: `resistivity` of a thick deposit [ohm m], `film_length`
    at which a thin one's is twice that [m]."""

    resistivity: float
    film_length: float = FILM_LENGTH.value.best

    def __post_init__(self) -> None:
        if not self.resistivity > 0:
            raise BadInput(
                "the deposit's resistivity must be above zero, not {resistivity!r} ohm m",
                resistivity=self.resistivity,
            )
        if not self.film_length >= 0:
            raise BadInput(
                "a film length cannot be below zero, as {film_length!r} m is",
                film_length=self.film_length,
            )

    def sheet_conductance(self, thickness: Floats) -> Floats:
        """Of a deposit of `thickness` [m], by square [S]; none where there is none."""
        height = np.maximum(thickness, 0.0)
        reach = height + self.film_length
        share = np.divide(height, reach, out=np.zeros_like(height), where=reach > 0)
        return height * share / self.resistivity


@dataclass(frozen=True, kw_only=True)
class Coat:
    """A coat over all panels of a problem (n,).

    sheet_resistance [ohm] per square along the strokes; infinite where bare; nan where there is no
    coat to speak of, as the panel belongs to solid metal, an anode or a wall.
    strokes (n, 3), the direction of brushing (zero where there is none), or None;
    across_over_along is the sheet resistance square to the strokes over that along them, of all
    panels or of each (n,) [-].
    """

    sheet_resistance: Floats
    strokes: Floats | None = None
    across_over_along: float | Floats = 1.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "sheet_resistance", frozen_floats(self.sheet_resistance))
        if (self.sheet_resistance <= 0).any():
            worst = float(np.nanmin(self.sheet_resistance))
            raise BadInput(
                "a sheet resistance must be above zero, not {worst:.4g} ohm; infinity stands for "
                "a bare place",
                worst=worst,
            )
        across = np.asarray(self.across_over_along)
        if not ((across > 0) & (across < np.inf)).all():
            raise BadInput(
                "the sheet resistance across the strokes over that along them must be above zero, "
                "not {across:g}",
                across=float(across.min()),
            )
        if self.strokes is not None:
            object.__setattr__(self, "strokes", frozen_floats(self.strokes))
            if self.strokes.shape != (len(self.sheet_resistance), 3):
                raise BadInput(
                    "strokes are given for {strokes} panels and sheet resistances for "
                    "{sheet_resistance}; give one direction a panel",
                    strokes=len(self.strokes),
                    sheet_resistance=len(self.sheet_resistance),
                )

    @property
    def coated(self) -> Bools:
        """True where a coat was meant to be, bare or not (n,)."""
        return ~np.isnan(self.sheet_resistance)

    @property
    def conducts(self) -> Bools:
        """True where the coat conducts (n,)."""
        return np.isfinite(self.sheet_resistance)


def even_coat(where: Bools, sheet_resistance: float) -> Coat:
    """The same coat on all panels `where` (n,) [ohm]."""
    return Coat(sheet_resistance=np.where(where, sheet_resistance, np.nan))
