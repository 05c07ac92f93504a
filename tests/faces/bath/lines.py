"""Beginnings of command lines that are whole by themselves."""

MAKE = ("make", "bath.toml")
NOTE = ("note", "bath.jsonl")
DOSE = ("dose", "bath.jsonl", "shelf.toml")
COPPER = ("titrate", "copper", "16.00 mL", "15.95 mL", "--sample", "2 mL")
ACID = ("titrate", "acid", "6.1 mL", "6.1 mL", "--sample", "5 mL", "--copper", "51 ± 2 g/L")
RETIRE = ("retire", "--volume", "10 L", "--copper", "50 g/L", "--acid", "60 g/L")
RINSE = ("rinse", "--area", "9 dm^2", "--copper", "51 g/L", "--acid", "60 g/L")
LABEL = ("shelf", "--label", "name=mine")
FORECAST = ("forecast", "bath.jsonl", "--per-week")
METER = ("conductivity", "250 mS/cm", "--temperature", "22 degC", "--standard-shown", "111 mS/cm")
