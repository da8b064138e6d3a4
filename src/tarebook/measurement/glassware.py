"""What standards and guides say of glassware: the lookups in the table `glassware.toml`."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.measurement.volumes import VolumeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """What the tables say of one piece of ware, in mL; None where they say nothing."""

    tolerance: float
    graduation: float | None
    repeatability: float | None
    to_contain: bool
    source: Source


def one_fault(where: str, found: str, allowed: str, do: str) -> InputError:
    """Return the error of one fault."""
    return InputError([Fault(where=where, found=found, allowed=allowed, do=do)])


def kind_of_ware(word: str) -> VolumeKind:
    """Return the kind that a word names.

    Parameters
    ----------
    word : str

    Raises
    ------
    InputError
        If there is no such kind.
    """
    try:
        return VolumeKind(word)
    except ValueError:
        raise one_fault(
            "kind of a volume instrument",
            repr(word),
            ", ".join(VolumeKind),
            "Take the nearest kind and give its tolerance.",
        ) from None


def _guide(kind: VolumeKind, size: float) -> Listed | None:
    """Return what is known of ware that no standard covers."""
    for guide in reference_table("tarebook.measurement", "glassware")["guides"]:
        if guide["kind"] == kind:
            return Listed(
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
        raise one_fault(
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
) -> Listed | None:
    """Return what a standard says of one capacity, of the row with the nearest graduation."""
    rows = [row for row in table["rows"] if math.isclose(row["capacity_mL"], size)]
    if not rows:
        return None
    # Of rows with several graduations the coarsest stands last: take it when none is named.
    row = min(reversed(rows), key=lambda row: _distance(row, graduation))
    tolerances = row["tolerance_mL"]
    tolerance = tolerances.get(grade, tolerances.get("any"))
    if tolerance is None:
        raise one_fault(
            f"grade of a {table['kind']}",
            repr(grade),
            ", ".join(tolerances),
            "Take B when in doubt.",
        )
    grade_text = "" if "any" in tolerances else f", class {grade}"
    return Listed(
        tolerance=tolerance,
        graduation=row["graduation_mL"][-1] if "graduation_mL" in row else 0.0,
        repeatability=row.get("repeatability_mL"),
        to_contain=table["to_contain"],
        source=Source(f"{table['source']}{grade_text}", row.get("basis", table["basis"])),
    )


def listed_ware(
    kind: VolumeKind,
    size: float,
    standard: str | None,
    grade: str,
    graduation: float | None,
    tolerance: float | None,
) -> Listed | None:
    """Return what the tables say; None if they say nothing and the tolerance is given.

    Parameters
    ----------
    kind : VolumeKind
    size : float, [mL]
    standard : str or None
        The first of its kind in the table if None.
    grade : str
    graduation, tolerance : float or None, [mL] and [L]
        As declared.

    Raises
    ------
    InputError
        If standard or grade are not in the table.
    OutOfRangeError
        If the standard has no such capacity and no tolerance is given.
    """
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
