"""Readings and the table of runs they fold to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.units import kelvin, litres


class Quantity(StrEnum):
    """What one reading is of; the values are the columns of `readings.csv`."""

    TARE = "tare_g"
    REAGENT = "reagent_mL"
    DILUENT = "diluent_mL"
    LIQUID = "vessel_liquid_g"
    SAMPLE = "sample_g"
    FINAL = "final_g"
    TEMPERATURE = "temperature_C"
    MINUTES = "minutes"

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return _WORDS[self]

    @property
    def is_mass(self) -> bool:
        """Whether a balance reads it."""
        return self in MASSES

    @property
    def unit(self) -> str:
        """Unit of the column."""
        return {Quantity.TEMPERATURE: "°C", Quantity.MINUTES: "min"}.get(
            self, "g" if self.is_mass else "mL"
        )


MASSES = (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
VOLUMES = (Quantity.REAGENT, Quantity.DILUENT)

NEEDED = (
    Quantity.TARE,
    Quantity.REAGENT,
    Quantity.DILUENT,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.FINAL,
)
"""Columns that a sheet must have; a single blank cell in them is a reading not taken."""

_WORDS = {
    Quantity.TARE: "the empty vessel",
    Quantity.REAGENT: "the reagent poured",
    Quantity.DILUENT: "the diluent poured",
    Quantity.LIQUID: "the vessel with liquid",
    Quantity.SAMPLE: "the sample",
    Quantity.FINAL: "the final mass",
    Quantity.TEMPERATURE: "the temperature",
    Quantity.MINUTES: "the waiting time",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One observed number.

    Attributes
    ----------
    run : str
    quantity : Quantity
    value : float
        In the memory unit of the quantity: g, L, K; minutes stay minutes.
    typed : str
        As it was written down.
    place : str
        Where it stands, for messages: row and column.
    """

    run: str
    quantity: Quantity
    value: float
    typed: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunTable:
    """The readings of a series, run by run.

    Attributes
    ----------
    runs : tuple of str
        In the order of the sheet.
    readings : tuple of Reading
        Repeats follow one another in the order in which they were taken.
    notes : mapping of run to str
    """

    runs: tuple[str, ...]
    readings: tuple[Reading, ...]
    notes: Mapping[str, str] = field(default_factory=dict)
    _cells: Mapping[tuple[str, Quantity], tuple[Reading, ...]] = field(
        init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        cells: dict[tuple[str, Quantity], list[Reading]] = {}
        for reading in self.readings:
            cells.setdefault((reading.run, reading.quantity), []).append(reading)
        object.__setattr__(self, "_cells", {cell: tuple(found) for cell, found in cells.items()})

    def of(self, run: str, quantity: Quantity) -> tuple[Reading, ...]:
        """Return the readings of one quantity in one run, repeats and all."""
        return self._cells.get((run, quantity), ())

    def count(self, quantity: Quantity) -> FloatArray:
        """Return how often a quantity was read in each run, shape (n,)."""
        counts = [len(self.of(run, quantity)) for run in self.runs]
        return np.asarray(counts, dtype=np.float64)

    def taken(self, quantity: Quantity) -> BoolArray:
        """Return in which runs a quantity was read at all, shape (n,)."""
        taken: BoolArray = self.count(quantity) > 0
        return taken

    def mean(self, quantity: Quantity, missing: float) -> FloatArray:
        """Return the mean of the repeats in each run, shape (n,).

        Parameters
        ----------
        quantity : Quantity
        missing : float
            What to put where nothing was read; `taken` says where.
        """
        values = [self.mean_of(run, quantity) for run in self.runs]
        return np.array([missing if value is None else value for value in values], dtype=np.float64)

    def mean_of(self, run: str, quantity: Quantity) -> float | None:
        """Return the mean of the repeats of one reading; None where nothing was read.

        Parameters
        ----------
        run : str
        quantity : Quantity
        """
        repeats = [reading.value for reading in self.of(run, quantity)]
        return sum(repeats) / len(repeats) if repeats else None


def memory_value(quantity: Quantity, number: float) -> float:
    """Return a number as it was written down in the memory unit of its quantity.

    Examples
    --------
    >>> memory_value(Quantity.REAGENT, 12.5), memory_value(Quantity.SAMPLE, 1.5)
    (0.0125, 1.5)
    """
    if quantity in VOLUMES:
        return litres(number)
    return kelvin(number) if quantity is Quantity.TEMPERATURE else number


def table_of(runs: Sequence[str], typed: Mapping[Quantity, Sequence[str]]) -> RunTable:
    """Return a run table from columns of numbers as they are typed, one for each run.

    Parameters
    ----------
    runs : sequence of str, length n
    typed : mapping of Quantity to sequence of str, length n
        An empty text is a reading not taken.
    """
    readings = [
        Reading(
            run=run,
            quantity=quantity,
            value=memory_value(quantity, float(column[index])),
            typed=column[index],
            place=f"row {index + 2}, column {quantity.value}",
        )
        for index, run in enumerate(runs)
        for quantity, column in typed.items()
        if column[index]
    ]
    return RunTable(runs=tuple(runs), readings=tuple(readings))
