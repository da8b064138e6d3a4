"""The instruments of an experiment, with what the standards say of them filled in.

`volume_instrument`, `balance` and `thermometer` look up what is not given; what is given wins and
is marked as declared. The types and their errors stand in `volumes` and `weighing`.
"""

from __future__ import annotations

import math

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.measurement.effects import Shape
from tarebook.measurement.glassware import Listed, kind_of_ware, listed_ware, one_fault
from tarebook.measurement.volumes import (
    READ_TWICE,
    SINGLE_MARK,
    TO_CONTAIN,
    VolumeInstrument,
    VolumeKind,
)
from tarebook.measurement.weighing import Balance, Thermometer

DECLARED = Source("the definition", "declared")
"""Source of what the experiment's own definition says."""

READING_SLACK = 1e-6
"""How far off a whole number of steps float noise may leave a value, in steps."""


def is_readable(value: FloatArray | float, finest: FloatArray | float) -> BoolArray:
    """Say which values an instrument can show: whole multiples of its finest step.

    Parameters
    ----------
    value : ndarray, any shape
        Readings.
    finest : ndarray or float, shape of `value` or none
        Finest step, in the unit of `value`; 0 where every value can be set.

    Returns
    -------
    ndarray of bool, shape of `value`
        True where the value is a multiple of the step within float noise.

    Raises
    ------
    OutOfRangeError
        If `finest` is negative or not a number.

    Examples
    --------
    >>> is_readable(np.array([12.35, 12.37]), 0.05)
    array([ True, False])
    """
    values, step = np.broadcast_arrays(
        np.asarray(value, dtype=np.float64), np.asarray(finest, dtype=np.float64)
    )
    if not np.all(step >= 0):
        first = float(step[~(step >= 0)].flat[0])
        raise OutOfRangeError("finest step", first, "1", "[0, inf)")
    steps = np.divide(values, step, out=np.zeros(values.shape), where=step > 0)
    readable: BoolArray = np.abs(steps - np.round(steps)) <= READING_SLACK
    return readable


def _default_graduation(kind: VolumeKind, size: float, listed: Listed | None) -> float:
    """Return the graduation in mL of ware for which none was given."""
    if kind in SINGLE_MARK or kind is VolumeKind.PISTON_PIPETTE:
        return 0.0
    if listed is not None and listed.graduation is not None:
        return listed.graduation
    raise one_fault(
        f"graduation of the {size:g} mL {kind}",
        "nothing",
        "the distance of two lines in mL",
        "No table gives it: read it off the ware and write it down.",
    )


def _reading(kind: VolumeKind, graduation: float, declared: float | None) -> tuple[float, Source]:
    """Return the half-width of one reading, in the unit of `graduation`, and its source."""
    if declared is not None:
        return declared, DECLARED
    rule = reference_table("tarebook.measurement", "glassware")["reading"]
    fraction = rule["burette_fraction" if kind in READ_TWICE else "cylinder_fraction"]
    return graduation * fraction / 2.0, Source(rule["source"], rule["basis"])


def _repeatability(
    kind: VolumeKind, listed: Listed | None, tolerance: float, declared: float | None
) -> tuple[float, Source]:
    """Return the repeatability in L and its source."""
    if declared is not None:
        return declared, DECLARED
    if listed is not None and listed.repeatability is not None:
        return litres(listed.repeatability), listed.source
    if kind in READ_TWICE or kind is VolumeKind.GRADUATED_CYLINDER:
        return 0.0, Source("taken to be within the reading of the meniscus", "common practice")
    rule = reference_table("tarebook.measurement", "glassware")["single_line"]
    ratio = float(rule["repeatability_per_tolerance"])
    return ratio * tolerance, Source(rule["source"], rule["basis"])


def volume_instrument(
    kind: str,
    capacity: float,
    *,
    standard: str | None = None,
    grade: str = "B",
    graduation: float | None = None,
    tolerance: float | None = None,
    tolerance_shape: Shape = Shape.TRIANGULAR,
    reading_half_width: float | None = None,
    repeatability: float | None = None,
    to_contain: bool | None = None,
    name: str | None = None,
) -> VolumeInstrument:
    """Return a volume instrument, with the figures of its standard where none are given.

    Parameters
    ----------
    kind : str
        A word of `VolumeKind`, e.g. ``"graduated cylinder"``.
    capacity : float, [L]
        Must be a size of the standard unless the tolerance is given.
    standard : str, optional
        E.g. ``"ASTM E1272"``, ``"ISO 4788"``; the first of its kind in the table if not given.
    grade : str
        ``"A"`` or ``"B"``.
    graduation : float, [L], optional
        Distance of two lines; the coarsest of the standard if not given. Where tolerance goes with
        the graduation, the row with the nearest one is taken.
    tolerance : float, [L], optional
        Half-width; that of the standard if not given.
    tolerance_shape : Shape
        Triangular, as large errors are less likely than small ones.
    reading_half_width : float, [L], optional
        A tenth of a graduation if not given, a twentieth on burettes and graduated pipettes.
    repeatability : float, [L], optional
        Standard deviation; if not given that of the standard, or a fifth of the tolerance where
        there is no scale to read.
    to_contain : bool, optional
        As the standard has it if not given.
    name : str, optional
        Capacity and kind if not given.

    Returns
    -------
    VolumeInstrument
        Each figure with its source; those that were given are marked as declared.

    Raises
    ------
    InputError
        If kind, standard or grade are not in the table, or a graduation is nowhere given.
    OutOfRangeError
        If the standard has no such capacity, or a figure is negative.

    References
    ----------
    .. [1] Eurachem/CITAC CG 4, Quantifying Uncertainty in Analytical Measurement, 3rd ed., 2012,
       A1 (triangular tolerance, repeatability of filling).

    Examples
    --------
    >>> cylinder = volume_instrument("graduated cylinder", 0.025)
    >>> cylinder.name, round(cylinder.tolerance * 1000, 2), round(cylinder.graduation * 1000, 2)
    ('25 mL graduated cylinder', 0.34, 0.5)
    >>> print(cylinder.tolerance_source)
    ASTM E1272-02 (2012, 2019), Table 1, class B (read)
    """
    known_kind = kind_of_ware(kind)
    size = round(millilitres(capacity), 9)
    wanted = None if graduation is None else millilitres(graduation)
    listed = listed_ware(known_kind, size, standard, grade, wanted, tolerance)
    if graduation is None:
        graduation = litres(_default_graduation(known_kind, size, listed))
    if tolerance is not None or listed is None:
        half_width, tolerance_source = tolerance or 0.0, DECLARED
    else:
        half_width, tolerance_source = litres(listed.tolerance), listed.source
    reading, reading_source = _reading(known_kind, graduation, reading_half_width)
    spread, spread_source = _repeatability(known_kind, listed, half_width, repeatability)
    if to_contain is None:
        to_contain = listed.to_contain if listed else known_kind in TO_CONTAIN
    return VolumeInstrument(
        name=name or f"{size:g} mL {known_kind}",
        kind=known_kind,
        capacity=capacity,
        graduation=graduation,
        tolerance=half_width,
        tolerance_shape=tolerance_shape,
        reading_half_width=reading,
        repeatability=spread,
        to_contain=to_contain,
        tolerance_source=tolerance_source,
        reading_source=reading_source,
        repeatability_source=spread_source,
    )


def balance(
    readability: float,
    *,
    repeatability: float | None = None,
    linearity: float | None = None,
    capacity: float | None = None,
    name: str | None = None,
) -> Balance:
    """Return a balance, with the usual figures of its class where none are given.

    Parameters
    ----------
    readability : float, [g]
        Step of its display; must be a class of the table unless the next two are given.
    repeatability : float, [g], optional
        Standard deviation.
    linearity : float, [g], optional
        Half-width.
    capacity : float, [g], optional
        Heaviest load; without limit if not given.
    name : str, optional
        Readability and "balance" if not given.

    Returns
    -------
    Balance
        With the source of its figures.

    Raises
    ------
    OutOfRangeError
        If no class has this readability and a figure is missing, or a figure is negative.

    Examples
    --------
    >>> balance(0.01).linearity
    0.02
    """
    rows = reference_table("tarebook.measurement", "balances")["rows"]
    row = next((r for r in rows if math.isclose(r["readability_g"], readability)), None)
    if repeatability is not None and linearity is not None:
        source = DECLARED
    elif row is None:
        classes = ", ".join(f"{r['readability_g']:g}" for r in rows)
        raise OutOfRangeError(
            "readability of the balance",
            readability,
            "g",
            f"the classes of the table: {classes} g",
            "Give its repeatability and linearity.",
        )
    else:
        source = Source(f"{row['class']}: {row['source']}", row["basis"])
        repeatability = row["repeatability_g"] if repeatability is None else repeatability
        linearity = row["linearity_g"] if linearity is None else linearity
    return Balance(
        name=name or f"{readability:g} g balance",
        readability=readability,
        repeatability=repeatability,
        linearity=linearity,
        capacity=math.inf if capacity is None else capacity,
        source=source,
    )


def thermometer(readability: float, tolerance: float, *, name: str | None = None) -> Thermometer:
    """Return a thermometer of declared step and tolerance.

    Parameters
    ----------
    readability : float, [K]
        Finest step read.
    tolerance : float, [K]
        Largest permitted error, half-width.
    name : str, optional
        "thermometer" if not given.

    Returns
    -------
    Thermometer
        With the definition as its source.

    Raises
    ------
    OutOfRangeError
        If the readability is not positive or the tolerance is negative.
    """
    return Thermometer(
        name=name or "thermometer", readability=readability, tolerance=tolerance, source=DECLARED
    )
