"""The bath's ledger: what happened, what is in the bath by it, and how sure that is."""

from tankside.bath.inventory.bath_estimate import BathEstimate, Learned, Surprise
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.events import (
    Addition,
    AmpereHours,
    Analysis,
    Bottle,
    Carbon,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Ledger,
    Loss,
    MakeUp,
    Portion,
    Retraction,
    TakeOver,
    TopUp,
    Withdrawal,
    ordered,
)
from tankside.bath.inventory.priors import Priors

__all__ = [
    "Addition",
    "AmpereHours",
    "Analysis",
    "BathEstimate",
    "Bottle",
    "Carbon",
    "DragOut",
    "Evaporation",
    "Event",
    "Idle",
    "Learned",
    "Ledger",
    "Loss",
    "MakeUp",
    "Portion",
    "Priors",
    "Retraction",
    "Surprise",
    "TakeOver",
    "TopUp",
    "Withdrawal",
    "estimated",
    "ordered",
]
