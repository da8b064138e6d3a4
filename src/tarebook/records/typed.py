"""Numbers as people type them, and the number with a decimal point that is meant.

A pour in several fillings is typed as their sum, ``20 + 15``; its parts are kept.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from decimal import Decimal

from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import PLUS, Quantity, parts_of
from tarebook.series.faults import shown

PLAIN = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?")
"""A number as it stands in `readings.csv`."""

_UNSIGNED = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")

# Spaces may stand after the sign, before the unit and between thousands. Elsewhere they are
# refused: "12 50" is more likely two numbers than one.
_TYPED = re.compile(
    r"(?P<sign>[+\-−]?)\s*(?P<whole>[0-9]{1,3}(?:[\s'’][0-9]{3})+|[0-9]*)"
    r"(?:[.,](?P<part>[0-9]*))?\s*(?P<unit>[^\W\d_].*|°.*|'|)",
)

# Exponents of ten from the unit that was typed to the unit of the column.
_UNITS = {
    "g": {"g": 0, "mg": -3, "kg": 3},
    "mL": {"ml": 0, "cm3": 0, "cm³": 0, "cc": 0, "l": 3, "cl": 1, "µl": -3, "μl": -3, "ul": -3},
    "°C": {"°c": 0, "° c": 0, "°": 0, "c": 0},
    "min": {"min": 0, "min.": 0, "minutes": 0, "'": 0},
    "": {},
}

_BETWEEN_FILLINGS = re.compile(r"(?<=[^+\-−eE\s])\s*\+\s*(?=[0-9.,])")
"""The plus between two fillings; that of an exponent and a sign are none."""


def read_number(quantity: Quantity, typed: str) -> str:
    """Return a number as it was typed with a decimal point, in the unit of its column.

    A decimal comma, spaces, a sign and a unit are understood; every digit is kept. A comma is
    always the decimal comma: nobody types thousands at a balance.

    Parameters
    ----------
    quantity : Quantity
    typed : str

    Raises
    ------
    InputError
        If it is no number, or has a unit that the quantity cannot have.

    Examples
    --------
    >>> read_number(Quantity.TARE, " 12,50 g"), read_number(Quantity.REAGENT, "0.0125 L")
    ('12.50', '12.5')
    >>> read_number(Quantity.TARE, "+   52.310 g")
    '52.310'

    A pour in several fillings keeps its parts:

    >>> read_number(Quantity.REAGENT, "20+15,5 mL")
    '20 + 15.5'
    """
    parts = _BETWEEN_FILLINGS.split(typed.strip()) if quantity.is_volume else [typed]
    units = _UNITS[quantity.unit]
    if len(parts) > 1:
        # "0.02 + 0.015 L" may mean two things: of several fillings none is in another unit.
        units = {unit: shift for unit, shift in units.items() if shift == 0}
    number = PLUS.join(_one_number(quantity, part, units) for part in parts)
    if len(parts) > 1 and not is_number(quantity, number):
        raise _fault(quantity, typed, "A filling is a volume of its own: it has no sign.")
    return number


def is_number(quantity: Quantity, number: str) -> bool:
    """Return whether a text is a number as the record has it, or the sum of a pour's fillings.

    Examples
    --------
    >>> is_number(Quantity.REAGENT, "20 + 15.5"), is_number(Quantity.TARE, "20 + 15.5")
    (True, False)
    """
    parts = parts_of(number)
    if len(parts) > 1:
        return quantity.is_volume and all(_UNSIGNED.fullmatch(part) for part in parts)
    return PLAIN.fullmatch(number) is not None


def _one_number(quantity: Quantity, typed: str, allowed: Mapping[str, int]) -> str:
    text = typed.strip()
    if PLAIN.fullmatch(text):
        return _finite(quantity, typed, text)
    match = _TYPED.fullmatch(text)
    if match is None or not (match["whole"] or match["part"]):
        raise _fault(quantity, typed, "Type digits with one decimal point or comma.")
    whole = re.sub(r"[^0-9]", "", match["whole"]) or "0"
    number = f"{whole}.{match['part']}" if match["part"] else whole
    if match["sign"] in ("-", "−"):
        number = f"-{number}"
    unit = match["unit"].strip()
    unit = unit if unit in allowed or quantity.unit == "g" else unit.lower()
    if unit and unit not in allowed:
        raise _fault(quantity, typed, _about_units(allowed))
    shift = allowed[unit] if unit else 0
    return _finite(quantity, typed, format(Decimal(number).scaleb(shift), "f") if shift else number)


def _about_units(allowed: Mapping[str, int]) -> str:
    return f"The unit may be {', '.join(allowed)}, or left away." if allowed else "It has no unit."


def _finite(quantity: Quantity, typed: str, number: str) -> str:
    if not math.isfinite(float(number)):
        raise _fault(quantity, typed, "No balance or vessel shows that: look at the digits again.")
    return number


def _fault(quantity: Quantity, typed: str, do: str) -> InputError:
    fault = Fault(
        where=quantity.value,
        found=shown(typed),
        allowed=f"a number in {quantity.unit}" if quantity.unit else "a number",
        do=do,
    )
    return InputError([fault])
