"""The shelf: substances, their molar masses and hazards, products, grades, labels and strengths."""

from tankside.substances.hazards import Hazards, hazards, product_hazards
from tankside.substances.labels import read_product
from tankside.substances.molar_mass import molar_mass
from tankside.substances.products import Content, Form, Product, grade, grades
from tankside.substances.records import MixUp, Substance, substance, substances

__all__ = [
    "Content",
    "Form",
    "Hazards",
    "MixUp",
    "Product",
    "Substance",
    "grade",
    "grades",
    "hazards",
    "molar_mass",
    "product_hazards",
    "read_product",
    "substance",
    "substances",
]
