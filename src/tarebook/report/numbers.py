"""Numbers as a reader sees them: rounded by their uncertainty, in bench units, typeset.

All renderers come here, so one number looks the same on the screen, on paper and in a page. Units
leave memory here: L becomes mL, mol becomes mmol, a mass fraction becomes a percentage.

References
----------
.. [1] JCGM 100:2008 (GUM), 7.2.6: a standard uncertainty is given to at most two significant
   digits, and the value to the same place.
.. [2] BIPM, The International System of Units, 9th ed. (2019), 5.4: a space between number and
   unit, also before the percent sign.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import COVERAGE_95, Estimate, Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberStyle:
    """How numbers are set.

    Attributes
    ----------
    decimal : str
        The decimal sign.
    minus : str
        The sign of a negative number.
    gap : str
        Between number and unit.
    around : str
        On both sides of the plus-minus sign.
    """

    decimal: str = "."
    minus: str = "\u2212"
    gap: str = "\u00a0"
    around: str = "\u202f"

    def with_decimal(self, decimal: str) -> NumberStyle:
        """Return the same style with another decimal sign."""
        return NumberStyle(decimal=decimal, minus=self.minus, gap=self.gap, around=self.around)


PRINT = NumberStyle()
"""For paper and pages: true minus, no-break spaces, narrow ones around the plus-minus sign."""

TERMINAL = NumberStyle(gap=" ", around=" ")
"""For a terminal, where every character has the same width."""

DIGITS_WITHOUT_U = 4
"""Significant digits of a value whose uncertainty is not known."""

MOST_PLACES = 6
"""Decimal places, in bench units, beyond which nothing is printed: a millionth of a mL, mmol or g
is less than any instrument carries; what stands there was left behind by a sum."""

NOTHING = 5e-5
"""In bench units: a value that is no more than this, and known to be, is nothing."""

MOST_PERCENT = 100.0
"""A percentage that is known no better than this is not known."""

NOT_KNOWN = "not known"

LEAST_P = 1e-6
"""Probabilities below are not told apart: no model of errors holds so far out."""

_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")

_OUTWARD = {
    "L": ("mL", 1000.0),
    "mol": ("mmol", 1000.0),
    "g/g": ("%", 100.0),
    "1": ("%", 100.0),
    "mol/g": ("mmol/g", 1000.0),
    "g/L": ("g/mL", 0.001),
}


def outward(quantity: Estimate | Measured) -> Estimate:
    """Return a quantity in the unit that people use at the bench.

    Parameters
    ----------
    quantity : Estimate or Measured
        In a memory unit. A `Measured` has no interval of its own: it gets value plus and minus
        1.96 u.

    Returns
    -------
    Estimate
        In mL, mmol, %, mmol/g or g/mL; other units stay as they are.

    Examples
    --------
    >>> outward(Estimate(value=0.025, u=0.0002, low=0.0246, high=0.0254, unit="L"))
    Estimate(value=25.0, u=0.2, low=24.6, high=25.4, unit='mL')
    """
    unit, factor = _OUTWARD.get(quantity.unit, (quantity.unit, 1.0))
    if isinstance(quantity, Estimate):
        low, high = quantity.low, quantity.high
    else:
        low, high = (quantity.value + sign * COVERAGE_95 * quantity.u for sign in (-1.0, 1.0))
    return Estimate(
        value=quantity.value * factor,
        u=quantity.u * factor,
        low=low * factor,
        high=high * factor,
        unit=unit,
    )


def places(value: float, u: float) -> int:
    """Return how many decimal places a value is given to.

    Parameters
    ----------
    value : float
    u : float
        Its standard uncertainty; 0 if it is not known.

    Returns
    -------
    int
        So many that `u` shows two significant digits (four of the value if `u` is 0); negative
        where tens or hundreds are rounded away.

    Examples
    --------
    >>> places(91.234, 0.61), places(91.234, 0.0996), places(1234.0, 120.0), places(0.8733, 0.0)
    (2, 2, -1, 4)
    """
    if not (math.isfinite(value) and 0 <= u < math.inf):
        what = value if not math.isfinite(value) else u
        raise OutOfRangeError("number to be shown", what, "1", "finite numbers, u not negative")
    if u > 0:
        return 1 - int(f"{u:.1e}".partition("e")[2])
    if value == 0:
        return 0
    return DIGITS_WITHOUT_U - 1 - int(f"{value:.{DIGITS_WITHOUT_U - 1}e}".partition("e")[2])


def fixed(value: float, decimals: int, style: NumberStyle = PRINT) -> str:
    """Return a number with a fixed number of decimal places.

    Parameters
    ----------
    value : float
    decimals : int
        Negative to round tens or hundreds away.
    style : NumberStyle

    Examples
    --------
    >>> fixed(-0.0412, 3, NumberStyle(decimal=",")), fixed(1234.0, -1), fixed(-0.0001, 2)
    ('−0,041', '1230', '0.00')
    """
    rounded = round(value, decimals) + 0.0
    text = f"{abs(rounded):.{max(decimals, 0)}f}".replace(".", style.decimal)
    return f"{style.minus}{text}" if rounded < 0 else text


def plain(value: float, u: float = 0.0, style: NumberStyle = PRINT) -> str:
    """Return a value alone, rounded to the place that its uncertainty allows.

    Examples
    --------
    >>> plain(91.234, 0.61), plain(95.0), plain(0.8733), plain(3e-9, 2e-9)
    ('91.23', '95', '0.8733', '0')
    """
    decimals = places(value, u)
    if u > 0 and max(abs(value), u) < NOTHING:
        return "0"
    if decimals > MOST_PLACES:
        u, decimals = 0.0, min(places(value, 0.0), MOST_PLACES)
    text = fixed(value, decimals, style)
    if u == 0 and style.decimal in text:
        text = text.rstrip("0").removesuffix(style.decimal)
    return text


def plus_minus(value: float, u: float, style: NumberStyle = PRINT) -> str:
    """Return value and standard uncertainty, without unit.

    Parameters
    ----------
    value, u : float
        In the same unit; if `u` is 0, or less than the unit can carry, the value stands alone.
    style : NumberStyle

    Examples
    --------
    >>> plus_minus(12.3412, 0.0471, TERMINAL), plus_minus(95.0, 0.0, TERMINAL)
    ('12.341 ± 0.047', '95')
    >>> plus_minus(0.0, 4.2e-6, TERMINAL), plus_minus(5.25, 2e-7, TERMINAL)
    ('0', '5.25')
    """
    shown, shown_u = value_and_u(value, u, style)
    return f"{shown}{style.around}±{style.around}{shown_u}" if shown_u else shown


def value_and_u(value: float, u: float, style: NumberStyle = PRINT) -> tuple[str, str]:
    """Return value and standard uncertainty for themselves, as `plus_minus` sets them.

    The latter is empty where the value stands alone.

    Examples
    --------
    >>> value_and_u(12.3412, 0.0471, TERMINAL), value_and_u(95.0, 0.0, TERMINAL)
    (('12.341', '0.047'), ('95', ''))
    """
    if u == 0 or places(value, u) > MOST_PLACES or max(abs(value), u) < NOTHING:
        return plain(value, u, style), ""
    decimals = places(value, u)
    return fixed(value, decimals, style), fixed(float(f"{u:.1e}"), decimals, style)


def with_unit(text: str, unit: str, style: NumberStyle = PRINT) -> str:
    """Return a number with its unit behind it; ``"1"`` stands for no unit."""
    return text if unit in ("", "1") else f"{text}{style.gap}{unit}"


def quantity(
    estimate: Estimate | Measured, style: NumberStyle = PRINT, not_known: str = NOT_KNOWN
) -> str:
    """Return a quantity in bench units: value, standard uncertainty, unit.

    Examples
    --------
    >>> content = Estimate(value=0.91234, u=0.0061, low=0.9, high=0.925, unit="g/g")
    >>> quantity(content, TERMINAL)
    '91.23 ± 0.61 %'
    >>> quantity(Estimate(value=1900.0, u=1800.0, low=-1600.0, high=5400.0, unit="%"))
    'not known'
    """
    out = outward(estimate)
    if out.unit == "%" and out.u >= MOST_PERCENT:
        return not_known
    return with_unit(plus_minus(out.value, out.u, style), out.unit, style)


def interval(
    estimate: Estimate | Measured,
    style: NumberStyle = PRINT,
    to: str = "to",
    not_known: str = NOT_KNOWN,
) -> str:
    """Return the 95 % interval of a quantity in bench units.

    Examples
    --------
    >>> content = Estimate(value=0.91234, u=0.0061, low=0.9, high=0.925, unit="g/g")
    >>> interval(content, TERMINAL)
    '90.00 to 92.50 %'
    """
    out = outward(estimate)
    if out.unit == "%" and out.u >= MOST_PERCENT:
        return not_known
    decimals = min(places(out.value, out.u), MOST_PLACES)
    ends = f"{fixed(out.low, decimals, style)} {to} {fixed(out.high, decimals, style)}"
    return with_unit(ends, out.unit, style)


def probability(p: float, style: NumberStyle = PRINT) -> str:
    """Return a probability as a percentage that never claims certainty.

    Examples
    --------
    >>> [probability(p, TERMINAL) for p in (0.0, 0.034, 0.5, 0.9968, 1.0)]
    ['< 0.1 %', '3.4 %', '50 %', '99.7 %', '> 99.9 %']
    """
    percent = 100.0 * p
    space = style.gap
    if percent < 0.1:
        return f"<{space}{fixed(0.1, 1, style)}{space}%"
    if percent > 99.9:
        return f">{space}{fixed(99.9, 1, style)}{space}%"
    decimals = 1 if percent < 10 or percent > 90 else 0
    return f"{fixed(percent, decimals, style)}{space}%"


def share(part: float, style: NumberStyle = PRINT) -> str:
    """Return a share of a whole in whole per cent.

    Examples
    --------
    >>> share(0.614, TERMINAL), share(0.002, TERMINAL)
    ('61 %', '< 1 %')
    """
    percent = 100.0 * part
    if 0 < percent < 0.5:
        return f"<{style.gap}1{style.gap}%"
    return f"{fixed(percent, 0, style)}{style.gap}%"


def rounded(value: float, digits: int = 3, style: NumberStyle = PRINT) -> str:
    """Return a value whose uncertainty is not known, to so many significant digits.

    Very small and very large ones are set as powers of ten.

    Examples
    --------
    >>> rounded(0.0123456), rounded(6.58e-16), rounded(1234.6), rounded(0.0)
    ('0.0123', '6.58 × 10⁻¹⁶', '1230', '0')
    """
    exponent = int(f"{value:.{digits - 1}e}".partition("e")[2])
    if value == 0 or -MOST_PLACES < exponent < MOST_PLACES:
        return plain(float(f"{value:.{digits}g}"), 0.0, style)
    front = plain(float(f"{value / 10.0**exponent:.{digits}g}"), 0.0, style)
    return f"{front} × 10{str(exponent).translate(_POWERS)}"


def p_value(p: float, style: NumberStyle = PRINT) -> str:
    """Return how often chance alone would do worse, as statistics has it.

    Examples
    --------
    >>> p_value(6.58e-16, TERMINAL), p_value(0.000123), p_value(0.4567)
    ('< 10⁻⁶', '0.00012', '0.46')
    """
    if p < LEAST_P:
        return f"<{style.gap}10⁻⁶"
    return rounded(p, 2, style)
