"""The options of the analyses of `tankside bath`, and those that other actions share with them."""

import argparse
from pathlib import Path


def titrate(one: argparse.ArgumentParser) -> None:
    """Readings, glassware and titrant of a titration, or of one that is planned."""
    one.add_argument("what", metavar="copper|acid|chloride", help="what is titrated")
    one.add_argument(
        "readings",
        nargs="*",
        metavar="READING",
        help="a run '17.35 mL' or '0.40-17.75 mL'; for chloride '1.20 mL=231 mV'",
    )
    one.add_argument("--plan", action="store_true", help="design the sample, and tell what to do")
    one.add_argument("--method", default="", help="edta, edta-pan or thiosulfate, for copper")
    one.add_argument("--expect", default="", help="about how much, to be asked about slips")
    one.add_argument("--sure", action="store_true", help="ask nothing")
    one.add_argument(
        "--burette",
        default="burette 25 mL class B",
        help="by its name; a wrong one lists close ones",
    )
    one.add_argument("--sample", default="", help="bath in one flask, such as '2 mL'")
    one.add_argument("--pipette", action="append", default=[], help="that the sample is taken with")
    one.add_argument(
        "--flask", action="append", default=[], help="measuring flask at hand, with --plan"
    )
    one.add_argument(
        "--diluted",
        nargs=3,
        default=[],
        metavar=("PIPETTE", "FLASK", "PIPETTE"),
        help="by way of a flask",
    )
    one.add_argument("--weighed", default="", help="mass of bath in one flask")
    one.add_argument("--bath-density", default="", help="of the bath, for a weighed sample")
    one.add_argument("--balance", default="pocket scale 0.01 g", help="that weighed the sample")
    one.add_argument("--titrant", default="", help="strength of the titrant, such as '0.1 mol/L'")
    one.add_argument("--tolerance", default="1 %", help="of its label, within which it is believed")
    one.add_argument("--age", default="", help="of its bottle, such as '3 months'")
    one.add_argument("--standard", default="", help="that it was set against")
    one.add_argument(
        "--standard-mass", action="append", default=[], help="mass of the standard in one run"
    )
    one.add_argument(
        "--standard-run", action="append", default=[], help="titrant that this mass took"
    )
    one.add_argument("--blank", default="", help="what a flask without bath takes")
    one.add_argument("--copper", default="", help="of the bath, for acid: '52 ± 3 g/L'")
    one.add_argument("--indicator", default="methyl orange", help="for acid, or pH meter")
    one.add_argument("--water", default="100 mL", help="that thins the sample")
    one.add_argument(
        "--cloud",
        action="append",
        default=[],
        metavar="STANDARD=LOOKS",
        help="chloride by turbidity: '50 mg/L=clearer', =same, =cloudier",
    )
    one.add_argument("--thinned", default="", help="so many times, for --cloud")
    one.add_argument("--runs", type=int, default=2, help="to do, with --plan")
    one.add_argument("--kind", default="sulfate", help="of bath, with --plan")
    sheet(one)
    into(one)  # fmt: skip


def density(one: argparse.ArgumentParser) -> None:
    """A hydrometer's reading."""
    one.add_argument("shown", metavar="READING", help="'1.182 g/mL', or a number of --scale")
    one.add_argument("--temperature", required=True, help="of the liquid")
    one.add_argument(
        "--scale", default="density", help="density, specific-gravity, baume-us or baume-rational"
    )
    one.add_argument("--division", default="", help="of the scale")
    one.add_argument("--calibrated", default="20 degC", help="where the scale is true")
    one.add_argument("--plastic", action="store_true", help="the hydrometer is of plastic")
    one.add_argument("--copper", default="", help="that the bath holds, to find the acid")
    one.add_argument("--acid", default="", help="that the bath holds, to find the copper")
    into(one)  # fmt: skip


def ph(one: argparse.ArgumentParser) -> None:
    """A pH meter's reading and its buffers."""
    one.add_argument("shown", metavar="READING", help="a pH, or '168 mV'")
    one.add_argument(
        "--buffer",
        action="append",
        default=[],
        metavar="PH=SHOWN",
        help="what the meter showed in a buffer; two or more",
    )
    one.add_argument("--temperature", required=True, help="of bath and buffers")
    into(one)  # fmt: skip


def conductivity(one: argparse.ArgumentParser) -> None:
    """A conductivity meter's reading and its check."""
    one.add_argument("shown", metavar="READING", help="such as '410 mS/cm'")
    one.add_argument("--temperature", required=True, help="of the bath")
    one.add_argument("--full-scale", required=True, help="of the meter")
    one.add_argument("--standard", default="potassium chloride 1 mol/L", help="it was checked in")
    one.add_argument("--standard-shown", required=True, help="what it showed there")
    one.add_argument("--standard-temperature", default="25 degC", help="of that")
    one.add_argument("--raw", action="store_true", help="the meter does not reduce to 25 degC")
    into(one)


def into(one: argparse.ArgumentParser) -> None:
    """The ledger that an answer is noted in."""
    one.add_argument("--note", type=Path, metavar="LEDGER", help="note it in this ledger")
    at(one)


def at(one: argparse.ArgumentParser) -> None:
    """When it was."""
    one.add_argument("--at", default="", help="when it was, such as '2026-03-01 18:30'")


def sheet(one: argparse.ArgumentParser) -> None:
    """A sheet of the answer, to print."""
    one.add_argument("--sheet", type=Path, metavar="FILE.pdf", help="write it on paper, too")
    one.add_argument("--paper", choices=("a4", "us-letter"), default="a4", help="of the sheet")
