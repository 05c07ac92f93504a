"""Diagnosis: faults seen, causes behind them, how likely each is, and what to check next."""

from tankside.diagnosis.advice import CAUTIONS, Advice, advice_for
from tankside.diagnosis.atlas import Atlas, Cause, Check, Fault, Remedy
from tankside.diagnosis.diagnosis import Diagnosis, Suspect, Verdict, diagnosed
from tankside.diagnosis.evidence import Case, Measured, Said, Told
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.network import Network, network_of
from tankside.diagnosis.next_check import Proposal, proposals
from tankside.diagnosis.shop import Audit, Counts, counted, learned_priors
from tankside.diagnosis.words import likely_faults

__all__ = [
    "CAUTIONS",
    "Advice",
    "Atlas",
    "Audit",
    "Case",
    "Cause",
    "Check",
    "Counts",
    "Diagnosis",
    "Fault",
    "Measured",
    "Network",
    "Proposal",
    "Remedy",
    "Said",
    "Suspect",
    "Told",
    "Verdict",
    "advice_for",
    "atlas",
    "counted",
    "diagnosed",
    "learned_priors",
    "likely_faults",
    "network_of",
    "proposals",
]
