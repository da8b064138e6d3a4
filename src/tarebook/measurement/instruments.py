"""The instruments of an experiment, with what the standards say of them filled in.

`volume_instrument`, `balance` and `thermometer` look up what is not given; what is given wins and
is marked as declared. The types and their errors stand in `volumes` and `weighing` and can be
imported from here too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.measurement.effects import Shape
from tarebook.measurement.volumes import (
    READ_TWICE,
    SINGLE_MARK,
    TO_CONTAIN,
    VolumeInstrument,
    VolumeKind,
    covariance,
    effects,
    line_u,
    own_u,
    shared_u,
)
from tarebook.measurement.weighing import Balance, Thermometer, minimum_mass, weighing_effects

__all__ = [
    "Balance",
    "Thermometer",
    "VolumeInstrument",
    "VolumeKind",
    "balance",
    "covariance",
    "effects",
    "is_readable",
    "line_u",
    "minimum_mass",
    "own_u",
    "shared_u",
    "thermometer",
    "volume_instrument",
    "weighing_effects",
]

DECLARED = Source("the definition", "declared")
"""Source of what the experiment's own definition says."""

READING_SLACK = 1e-6
"""How far off a whole number of steps float noise may leave a value, in steps."""


def is_readable(value: FloatArray | float, finest: float) -> BoolArray:
    """Say which values an instrument can show: whole multiples of its finest step.

    Parameters
    ----------
    value : ndarray, any shape
        Readings.
    finest : float
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
    values = np.asarray(value, dtype=np.float64)
    if not finest >= 0:
        raise OutOfRangeError("finest step", finest, "1", "[0, inf)")
    if finest == 0:
        return np.ones(values.shape, dtype=np.bool_)
    steps = values / finest
    readable: BoolArray = np.abs(steps - np.round(steps)) <= READING_SLACK
    return readable


@dataclass(frozen=True, slots=True, kw_only=True)
class _Listed:
    """What the tables say of one piece of ware, in mL; None where they say nothing."""

    tolerance: float
    graduation: float | None
    repeatability: float | None
    to_contain: bool
    source: Source


def _one_fault(where: str, found: str, allowed: str, do: str) -> InputError:
    return InputError([Fault(where=where, found=found, allowed=allowed, do=do)])


def _kind(word: str) -> VolumeKind:
    try:
        return VolumeKind(word)
    except ValueError:
        raise _one_fault(
            "kind of a volume instrument",
            repr(word),
            ", ".join(VolumeKind),
            "Take the nearest kind and give its tolerance.",
        ) from None


def _guide(kind: VolumeKind, size: float) -> _Listed | None:
    """Return what is known of ware that no standard covers."""
    for guide in reference_table("tarebook.measurement", "glassware")["guides"]:
        if guide["kind"] == kind:
            return _Listed(
                tolerance=guide["relative_tolerance"] * size,
                graduation=None,
                repeatability=None,
                to_contain=guide["to_contain"],
                source=Source(guide["source"], guide["basis"]),
            )
    return None


def _tables(kind: VolumeKind, standard: str | None) -> list[dict[str, Any]]:
    """Return the tables of a kind, or the one of the named standard."""
    every = reference_table("tarebook.measurement", "glassware")["tables"]
    tables = [table for table in every if table["kind"] == kind]
    if standard is None:
        return tables
    named = [table for table in tables if table["standard"] == standard]
    if not named:
        raise _one_fault(
            f"standard of a {kind}",
            repr(standard),
            ", ".join(table["standard"] for table in tables) or "none for this kind",
            "Name one of these, or leave the standard out and give the tolerance.",
        )
    return named


def _distance(row: dict[str, Any], graduation: float | None) -> float:
    """Return how far the graduations of a row are from the wanted one, as a logarithm."""
    if not graduation or "graduation_mL" not in row:
        return 0.0
    return min(abs(math.log(listed / graduation)) for listed in row["graduation_mL"])


def _standard_row(
    table: dict[str, Any], size: float, grade: str, graduation: float | None
) -> _Listed | None:
    """Return what a standard says of one capacity, of the row with the nearest graduation."""
    rows = [row for row in table["rows"] if math.isclose(row["capacity_mL"], size)]
    if not rows:
        return None
    # Of rows with several graduations the coarsest stands last: take it when none is named.
    row = min(reversed(rows), key=lambda row: _distance(row, graduation))
    tolerances = row["tolerance_mL"]
    tolerance = tolerances.get(grade, tolerances.get("any"))
    if tolerance is None:
        raise _one_fault(
            f"grade of a {table['kind']}",
            repr(grade),
            ", ".join(tolerances),
            "Take B when in doubt.",
        )
    grade_text = "" if "any" in tolerances else f", class {grade}"
    return _Listed(
        tolerance=tolerance,
        graduation=row["graduation_mL"][-1] if "graduation_mL" in row else 0.0,
        repeatability=row.get("repeatability_mL"),
        to_contain=table["to_contain"],
        source=Source(f"{table['source']}{grade_text}", row.get("basis", table["basis"])),
    )


def _listed(
    kind: VolumeKind,
    size: float,
    standard: str | None,
    grade: str,
    graduation: float | None,
    tolerance: float | None,
) -> _Listed | None:
    """Return what the tables say; None if they say nothing and the tolerance is given."""
    tables = _tables(kind, standard)
    listed = _standard_row(tables[0], size, grade, graduation) if tables else _guide(kind, size)
    if listed is None and tolerance is None:
        sizes = sorted({float(row["capacity_mL"]) for row in tables[0]["rows"]})
        raise OutOfRangeError(
            f"capacity of the {kind}",
            size,
            "mL",
            f"the sizes of {tables[0]['standard']}: {', '.join(f'{each:g}' for each in sizes)} mL",
            "Give its tolerance, or name another standard.",
        )
    return listed


def _default_graduation(kind: VolumeKind, size: float, listed: _Listed | None) -> float:
    """Return the graduation in mL of ware for which none was given."""
    if kind in SINGLE_MARK or kind is VolumeKind.PISTON_PIPETTE:
        return 0.0
    if listed is not None and listed.graduation is not None:
        return listed.graduation
    raise _one_fault(
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
    kind: VolumeKind, listed: _Listed | None, tolerance: float, declared: float | None
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
    known_kind = _kind(kind)
    size = round(millilitres(capacity), 9)
    wanted = None if graduation is None else millilitres(graduation)
    listed = _listed(known_kind, size, standard, grade, wanted, tolerance)
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
