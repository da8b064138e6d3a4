"""What a number of the definition may have meant: another unit, or its decimal point elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit in which a number may have been written.

    Attributes
    ----------
    name : str
    factor : float
        From this unit to that of the key.
    zero : float
        What stands at zero of the key's unit, in this one.
    """

    name: str
    factor: float
    zero: float = 0.0


_MASSES: Final = (Unit("mg", 0.001), Unit("kg", 1000.0), Unit("µg", 1e-6))
_VOLUMES: Final = (Unit("L", 1000.0), Unit("µL", 0.001))
_LENGTHS: Final = (Unit("mm", 0.1), Unit("m", 100.0))
_PRESSURES: Final = (
    Unit("hPa", 0.1), Unit("Pa", 0.001), Unit("mmHg", 0.133322), Unit("atm", 101.325),
    Unit("bar", 100.0), Unit("inHg", 3.38639), Unit("psi", 6.89476),
)  # fmt: skip
_ATMOSPHERES: Final = tuple(
    Unit(unit.name, unit.factor / 101.325) for unit in (Unit("kPa", 1.0), *_PRESSURES)
)
_STRENGTHS: Final = (Unit("mmol/L", 0.001),)
_TIMES: Final = (Unit("s", 1 / 60), Unit("h", 60.0))
_SHARES: Final = (Unit("%", 0.01),)

_UNITS: Final[dict[str, tuple[str, tuple[Unit, ...]]]] = {
    "temperature_C": ("°C", (Unit("°F", 5 / 9, 32.0), Unit("K", 1.0, 273.15))),
    "mass_fraction": ("g/g", _SHARES),
    "relative_humidity_percent": ("%", (Unit("as a share", 100.0),)),
    "mg_per_piece": ("mg", (Unit("g", 1000.0), Unit("µg", 0.001))),
    "mg_per_minute": ("mg/min", (Unit("g/min", 1000.0), Unit("µg/min", 0.001))),
    "mmol_per_g": ("mmol/g", (Unit("mol/g", 1000.0), Unit("µmol/g", 0.001))),
    "g_per_mL": ("g/mL", (Unit("g/L", 0.001), Unit("kg/L", 1.0))),
    "g_per_100_mL": ("g/100 mL", (Unit("g/L", 0.1), Unit("mg/100 mL", 0.001))),
    "mol_per_L": ("mol/L", _STRENGTHS),
    "claimed_u": ("g/g", _SHARES),
    "claimed_tolerance": ("g/g", _SHARES),
    "purity": ("g/g", _SHARES),
    "fraction": ("", _SHARES),
    "saturation": ("", _SHARES),
    "relative_u": ("", _SHARES),
    "gas_u": ("", _SHARES),
    "saturation_u": ("", _SHARES),
    "minutes": ("min", _TIMES),
    "kPa": ("kPa", _PRESSURES),
    "atm": ("atm", _ATMOSPHERES),
    "m3": ("m³", (Unit("L", 0.001),)),
    "cm": ("cm", _LENGTHS),
    "mL": ("mL", _VOLUMES),
    "g": ("g", _MASSES),
    "C": ("°C", ()),
}
"""By how the name of a key ends, the first that fits: its unit, and those it is mistaken for."""

_SHIFTS: Final = (0.1, 10.0, 0.01, 100.0, 0.001, 1000.0)


def unit_of(key: str) -> str:
    """Return the unit in which a key holds its number; empty if it has none.

    Examples
    --------
    >>> unit_of("capacity_mL"), unit_of("students_per_group")
    ('mL', '')
    """
    return _known(key)[0]


def was_it(key: str, value: float, can_be: Callable[[float], bool]) -> str:
    """Return the question whether a number was meant otherwise; empty if nothing fits.

    Parameters
    ----------
    key : str
    value : float
    can_be : callable of float
        Whether the key may hold a number.

    Examples
    --------
    >>> was_it("temperature_C", 69.8, lambda value: 0 <= value <= 40)
    'Was it 21 °C (69.8 °F)?'
    >>> was_it("readability_C", 50, lambda value: 0.001 <= value <= 10)
    'Was it 5 °C, with the decimal point elsewhere?'
    """
    own, others = _known(key)
    meant: dict[str, list[str]] = {}
    for unit in others:
        other = (value - unit.zero) * unit.factor
        if other != value and can_be(other):
            typed = f"{value:.6g} {unit.name}".replace(" %", " %")
            meant.setdefault(f"{other:.4g} {own}".strip(), []).append(typed)
    if meant:
        named = [f"{number} ({' or '.join(typed)})" for number, typed in meant.items()]
        return f"Was it {' or '.join(named)}?"
    moved = [f"{value * shift:.4g} {own}".strip() for shift in _fitting(value, can_be)]
    return f"Was it {moved[0]}, with the decimal point elsewhere?" if moved else ""


def _fitting(value: float, can_be: Callable[[float], bool]) -> Iterable[float]:
    return (shift for shift in _SHIFTS if value and can_be(value * shift))


def _known(key: str) -> tuple[str, tuple[Unit, ...]]:
    for ending, known in _UNITS.items():
        if key == ending or key.endswith(f"_{ending}"):
            return known
    return "", ()
