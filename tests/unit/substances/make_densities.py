"""Writes substances/data/densities.csv anew: `python tests/unit/substances/make_densities.py`.

Where Laliberté's law holds, its values are computed with the library thermo; above 50 % sulfuric
acid the straight lines in temperature of the Community Aerosol and Radiation Model for Atmospheres
take over; citric acid and the strongest hydrochloric acid stand as the handbook prints them, at
20 °C alone.
"""

import csv
from pathlib import Path

from thermo.electrochem import Laliberte_density

TEMPERATURES = (0, 5, 10, 15, 20, 25, 30, 35, 40, 50, 60)
FILE = Path(__file__).parents[3] / "src/tankside/substances/data/densities.csv"
HEAD = (
    "# Density of substances in water [kg/m3] by mass fraction and temperature.",
    "# Blank where the source does not reach. Rows are joined by straight lines.",
    "# relative_error: how far the truth is believed to lie from the row, nine times in ten.",
    "# Written by tests/unit/substances/make_densities.py.",
)

LALIBERTE = {
    # name: CAS number, step and last of the mass fraction in percent, lowest temperature
    "sulfuric acid": ("7664-93-9", 1, 50, 0),
    "hydrochloric acid": ("7647-01-0", 1, 37, 5),
    "acetic acid": ("64-19-7", 2, 100, 5),
    "hydrogen peroxide": ("7722-84-1", 2, 60, 0),
    "sodium hydroxide": ("1310-73-2", 1, 50, 5),
    "sodium chloride": ("7647-14-5", 1, 26, 0),
    "ammonia": ("7664-41-7", 1, 30, 20),
    "copper sulfate": ("7758-98-7", 1, 20, 10),
    "sodium carbonate": ("497-19-8", 1, 20, 0),
    "potassium iodide": ("7681-11-0", 2, 60, 0),
}

# Mass percent of sulfuric acid, density at 0 K on the line [g/mL], slope [g/mL K].
SULFURIC = """
53 1.65191 -0.000774238
55 1.6752 -0.00078392
56 1.68708 -0.000788939
60 1.7356 -0.00080946
65 1.7997 -0.000839848
66 1.81271 -0.000845825
70 1.86696 -0.000874337
72 1.89491 -0.000890074
73 1.9092 -0.00089873
74 1.92395 -0.000908778
75 1.93904 -0.000920012
76 1.95438 -0.000932184
78 1.98574 -0.000959514
79 2.00151 -0.000974043
80 2.01703 -0.000988264
81 2.03234 -0.00100258
82 2.04716 -0.00101634
83 2.06082 -0.00102762
84 2.07363 -0.00103757
85 2.08461 -0.00104337
86 2.09386 -0.00104563
87 2.10143 -0.00104458
88 2.10764 -0.00104144
89 2.11283 -0.00103719
90 2.11671 -0.00103089
91 2.11938 -0.00102262
92 2.12125 -0.00101355
93 2.1219 -0.00100249
94 2.12723 -0.00100934
95 2.12654 -0.000998299
96 2.12621 -0.000990961
97 2.12561 -0.000985845
98 2.12494 -0.000984529
100 2.12093 -0.000989315
"""

# Mass percent of citric acid, density at 20 °C [g/mL].
CITRIC = """
0 0.9982
1 1.0022
2 1.0063
4 1.0147
6 1.0232
8 1.0316
10 1.0402
12 1.0490
14 1.0580
16 1.0672
18 1.0764
20 1.0858
22 1.0953
24 1.1049
26 1.1147
28 1.1246
30 1.1346
"""


def rows() -> list[list[str]]:
    """All rows of the table, head of the columns first."""
    head = ["substance", "mass_fraction", "relative_error"]
    head += [f"density_at_{t}_degC" for t in TEMPERATURES]
    table = [[*head, "evidence", "source", "locator"]]
    for name, (cas, step, last, coldest) in LALIBERTE.items():
        table += [_laliberte(name, cas, percent, coldest) for percent in range(0, last + 1, step)]
        if name == "sulfuric acid":
            table += [_straight(line) for line in SULFURIC.split("\n") if line]
        if name == "hydrochloric acid":
            table.append(_once(name, 38, 1188.6, "crc2021", "hydrogen chloride, 38 %, 20 °C"))
            table.append(_once(name, 40, 1197.7, "crc2021", "hydrogen chloride, 40 %, 20 °C"))
    for line in CITRIC.strip().split("\n"):
        percent, density = line.split()
        at = f"citric acid, {percent} %, 20 °C"
        table.append(_once("citric acid", int(percent), 1000 * float(density), "crc2021", at))
    return table


def _laliberte(name: str, cas: str, percent: int, coldest: int) -> list[str]:
    if name == "sodium hydroxide" and percent > 45:
        coldest = 15  # below, so strong a lye freezes
    densities = [
        f"{Laliberte_density(t + 273.15, [percent / 100], [cas]):.2f}" if t >= coldest else ""
        for t in TEMPERATURES
    ]
    return [
        *(name, f"{percent / 100:.2f}", _error(name, percent), *densities),
        *("critically reviewed", "laliberte2009", "density law, by thermo 0.6.1"),
    ]


def _error(name: str, percent: int) -> str:
    if percent == 0:
        return "0.0002"
    if name == "acetic acid" and percent > 45:
        return "0.0030"  # the handbook's strong acid is 0.2 % lighter, its glacial 0.27 %
    if name == "sodium hydroxide" and percent > 30:
        return "0.0030" if percent <= 40 else "0.0090"  # 50 % weighs 1.53 g/mL in textbooks
    return "0.0015"


def _straight(line: str) -> list[str]:
    percent, first, slope = line.split()
    densities = [f"{1e3 * (float(first) + float(slope) * (t + 273.15)):.2f}" for t in TEMPERATURES]
    return [
        *("sulfuric acid", f"{int(percent) / 100:.2f}", "0.0005", *densities),
        *("estimated", "carma2010", f"sulfate_utils, lines of density, {percent} %"),
    ]


def _once(name: str, percent: int, density: float, source: str, locator: str) -> list[str]:
    densities = [f"{density:.1f}" if t == 20 else "" for t in TEMPERATURES]
    return [
        *(name, f"{percent / 100:.2f}", "0.0005", *densities),
        *("critically reviewed", source, locator),
    ]


def main() -> None:
    """Writes the file."""
    with FILE.open("w", encoding="utf-8", newline="") as file:
        file.writelines(f"{line}\n" for line in HEAD)
        csv.writer(file, lineterminator="\n").writerows(rows())


if __name__ == "__main__":
    main()
