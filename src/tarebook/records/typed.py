"""Numbers as people type them, and the number with a decimal point that is meant."""

from __future__ import annotations

import math
import re
from decimal import Decimal

from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import Quantity
from tarebook.series.faults import shown

PLAIN = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?")
"""A number as it stands in `readings.csv`."""

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
}


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
    """
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
    allowed = _UNITS[quantity.unit]
    unit = match["unit"].strip()
    unit = unit if unit in allowed or quantity.unit == "g" else unit.lower()
    if unit and unit not in allowed:
        raise _fault(quantity, typed, f"The unit may be {', '.join(allowed)}, or left away.")
    shift = allowed[unit] if unit else 0
    return _finite(quantity, typed, format(Decimal(number).scaleb(shift), "f") if shift else number)


def _finite(quantity: Quantity, typed: str, number: str) -> str:
    if not math.isfinite(float(number)):
        raise _fault(quantity, typed, "No balance or vessel shows that: look at the digits again.")
    return number


def _fault(quantity: Quantity, typed: str, do: str) -> InputError:
    fault = Fault(
        where=quantity.value, found=shown(typed), allowed=f"a number in {quantity.unit}", do=do
    )
    return InputError([fault])
