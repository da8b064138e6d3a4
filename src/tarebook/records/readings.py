"""Readings and the table of runs they fold to."""

from __future__ import annotations

import datetime as dt
import functools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.units import kelvin, litres


class Quantity(StrEnum):
    """What one reading is of; the values are the columns of `readings.csv`."""

    TARE = "tare_g"
    REAGENT_START = "reagent_start_mL"
    REAGENT_END = "reagent_end_mL"
    REAGENT = "reagent_mL"
    DILUENT_START = "diluent_start_mL"
    DILUENT_END = "diluent_end_mL"
    DILUENT = "diluent_mL"
    LIQUID = "vessel_liquid_g"
    PIECES = "pieces"
    HOLDER_BEFORE = "holder_before_g"
    HOLDER_AFTER = "holder_after_g"
    SAMPLE = "sample_g"
    FINAL = "final_g"
    TEMPERATURE = "temperature_C"
    MINUTES = "minutes"

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return _SPECS[self].words

    @property
    def is_mass(self) -> bool:
        """Whether a balance reads it."""
        return self.unit == "g"

    @property
    def is_volume(self) -> bool:
        """Whether volumetric ware reads it."""
        return self.unit == "mL"

    @property
    def unit(self) -> str:
        """Unit of the column; empty for a number of pieces."""
        return _SPECS[self].unit


@dataclass(frozen=True, slots=True)
class QuantitySpec:
    """Facts about a quantity.

    Attributes
    ----------
    unit : str
        Of its column; empty for a number of pieces.
    words : str
        What it is called in a sentence.
    """

    unit: str
    words: str


_SPECS = {
    Quantity.TARE: QuantitySpec("g", "the empty vessel"),
    Quantity.REAGENT_START: QuantitySpec("mL", "the reagent burette at the start"),
    Quantity.REAGENT_END: QuantitySpec("mL", "the reagent burette at the end"),
    Quantity.REAGENT: QuantitySpec("mL", "the reagent poured"),
    Quantity.DILUENT_START: QuantitySpec("mL", "the diluent burette at the start"),
    Quantity.DILUENT_END: QuantitySpec("mL", "the diluent burette at the end"),
    Quantity.DILUENT: QuantitySpec("mL", "the diluent poured"),
    Quantity.LIQUID: QuantitySpec("g", "the vessel with liquid"),
    Quantity.PIECES: QuantitySpec("", "the number of pieces"),
    Quantity.HOLDER_BEFORE: QuantitySpec("g", "the holder with the sample"),
    Quantity.HOLDER_AFTER: QuantitySpec("g", "the holder emptied"),
    Quantity.SAMPLE: QuantitySpec("g", "the sample"),
    Quantity.FINAL: QuantitySpec("g", "the final mass"),
    Quantity.TEMPERATURE: QuantitySpec("°C", "the temperature"),
    Quantity.MINUTES: QuantitySpec("min", "the waiting time"),
}

QUANTITY_OF_COLUMN = {quantity.value: quantity for quantity in Quantity}

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
"""What the sums of a run rest on; a blank cell is a reading not taken."""

BASE = (*NEEDED, Quantity.TEMPERATURE, Quantity.MINUTES)
"""The columns of a sheet of a series that is read in the usual way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two readings whose difference is what counts.

    Attributes
    ----------
    more, less : Quantity
        The difference is `more` - `less`.
    in_order : tuple of Quantity
        The two in the order in which they are read.
    """

    more: Quantity
    less: Quantity
    in_order: tuple[Quantity, Quantity] = field(init=False)

    def __post_init__(self) -> None:
        first, second = sorted((self.more, self.less), key=list(Quantity).index)
        object.__setattr__(self, "in_order", (first, second))


PAIRS = {
    Quantity.REAGENT: Pair(more=Quantity.REAGENT_END, less=Quantity.REAGENT_START),
    Quantity.DILUENT: Pair(more=Quantity.DILUENT_END, less=Quantity.DILUENT_START),
    Quantity.SAMPLE: Pair(more=Quantity.HOLDER_BEFORE, less=Quantity.HOLDER_AFTER),
}
"""What may be found from two readings: a burette at the start and at the end of a pour, the holder
of the sample with and without it."""


class Origin(StrEnum):
    """Where the value of a reading comes from."""

    READ = "read"
    DIFFERENCE = "difference"
    """Of two readings, which stand in columns of their own."""
    PLAN = "plan"
    """Nothing was asked for, so nothing was there to read: 0."""


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
        As it was written down; a pour in several fillings as ``"20 + 15"``.
    place : str
        Where it stands, for messages: row and column.
    origin : Origin
    noise : float, [1]
        Variance of its own in that of one reading of its instrument: 2 for a difference of two
        weighings.
    times : int
        For how many readings it stands; more than 1 only where a thing was read very often.
    who : str
        Who took it, where the record says so.
    taken : datetime or None
        When, by the clock of the device; None where nobody wrote it down.
    """

    run: str
    quantity: Quantity
    value: float
    typed: str
    place: str
    origin: Origin = Origin.READ
    noise: float = 1.0
    times: int = 1
    who: str = field(default="", compare=False)
    taken: dt.datetime | None = field(default=None, compare=False)

    @property
    def in_column(self) -> float:
        """The value in the unit of its column, as it was typed."""
        return number_value(self.typed)

    @property
    def fillings(self) -> tuple[float, ...]:
        """The parts of the value, each in the memory unit; one where it is not a sum."""
        if PLUS not in self.typed:
            return (self.value,)
        parts = parts_of(self.typed)
        return tuple(memory_value(self.quantity, float(part)) for part in parts)


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
    left_out : frozenset of (str, Quantity)
        Run and quantity of readings that were taken out because they are in doubt: nothing that
        follows from the plan or from others stands in for them.
    """

    runs: tuple[str, ...]
    readings: tuple[Reading, ...]
    notes: Mapping[str, str] = field(default_factory=dict)
    left_out: frozenset[tuple[str, Quantity]] = frozenset()
    _cells: Mapping[tuple[str, Quantity], tuple[Reading, ...]] = field(
        init=False, repr=False, compare=False
    )
    _means: dict[Quantity, tuple[float | None, ...]] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        cells: dict[tuple[str, Quantity], list[Reading]] = {}
        for reading in self.readings:
            cells.setdefault((reading.run, reading.quantity), []).append(reading)
        object.__setattr__(self, "_cells", {cell: tuple(found) for cell, found in cells.items()})

    def without(self, doubtful: Iterable[tuple[str, Quantity]]) -> RunTable:
        """Return the same without some readings, each named by its run and quantity."""
        gone = frozenset(doubtful)
        if not gone:
            return self
        kept = tuple(r for r in self.readings if (r.run, r.quantity) not in gone)
        return replace(self, readings=kept, left_out=self.left_out | gone)

    @property
    def cells(self) -> Mapping[tuple[str, Quantity], tuple[Reading, ...]]:
        """The readings by run and quantity, in the order in which they stand."""
        return self._cells

    @property
    def was_read(self) -> bool:
        """Whether anybody read anything; what stands for a plan of nothing does not count."""
        return any(reading.origin is Origin.READ for reading in self.readings)

    def of(self, run: str, quantity: Quantity) -> tuple[Reading, ...]:
        """Return the readings of one quantity in one run, repeats and all."""
        return self._cells.get((run, quantity), ())

    def written(self, run: str, quantity: Quantity) -> tuple[Reading, ...]:
        """Return what was written down of one quantity in one run, without what follows from it."""
        return tuple(r for r in self.of(run, quantity) if r.origin is Origin.READ)

    def count(self, quantity: Quantity) -> FloatArray:
        """Return how often a quantity was read in each run, shape (n,)."""
        counts = [len(self.of(run, quantity)) for run in self.runs]
        return np.asarray(counts, dtype=np.float64)

    def noise(self, quantity: Quantity) -> FloatArray:
        """Return the variance of the mean of the repeats in that of one reading, shape (n,).

        1 for a reading taken once, 1/k for k repeats that differ, 2 for a difference of two
        weighings or for a pour in two fillings; infinite where nothing was read.
        """
        return np.array([self._noise(run, quantity) for run in self.runs])

    def _noise(self, run: str, quantity: Quantity) -> float:
        cell = self.of(run, quantity)
        if not cell:
            return math.inf
        fillings = sum(len(reading.fillings) for reading in cell) / len(cell)
        return fillings / self.independent(run, quantity)

    def independent(self, run: str, quantity: Quantity) -> float:
        """Return the effective number of independent readings of a quantity that was read.

        A number that was written down again tells nothing new: nobody knows whether the cup was
        taken off the balance in between, and what the display rounds away it rounds away each time.
        So only different numbers count.

        Parameters
        ----------
        run : str
        quantity : Quantity

        Examples
        --------
        >>> twice = [
        ...     Reading(run="1", quantity=Quantity.FINAL, value=g, typed=str(g), place="")
        ...     for g in (62.1, 62.2, 62.2)
        ... ]
        >>> RunTable(runs=("1",), readings=tuple(twice)).independent("1", Quantity.FINAL)
        2.0
        """
        return _independent(self.of(run, quantity))

    def independent_of_each(self, quantity: Quantity) -> FloatArray:
        """Return the same for each run, shape (n,); 0 where nothing was read."""
        cells = [self.of(run, quantity) for run in self.runs]
        return np.array([_independent(cell) if cell else 0.0 for cell in cells])

    def only(self, run: str) -> RunTable:
        """Return what was read in one run."""
        readings = tuple(reading for reading in self.readings if reading.run == run)
        return replace(self, runs=(run,), readings=readings)

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
        values = self._means.get(quantity)
        if values is None:
            values = tuple(self.mean_of(run, quantity) for run in self.runs)
            self._means[quantity] = values
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


def _independent(cell: Sequence[Reading]) -> float:
    different = len({reading.value for reading in cell})
    return different / (sum(reading.noise for reading in cell) / len(cell))


MOST_REPEATS = 12
"""Readings of one thing that are looked at one by one; of more the middle one stands for all."""


def condensed(table: RunTable) -> RunTable:
    """Return readings in which nothing was read more often than can be looked at one by one.

    Where a thing was read more than `MOST_REPEATS` times the middle one (the median) stands for
    all, with the uncertainty of that many: a few that are wrong do not move it.

    Parameters
    ----------
    table : RunTable
        May be condensed already; it is then returned as it is.
    """
    often = {cell for cell, found in table.cells.items() if len(found) > MOST_REPEATS}
    if not often:
        return table
    kept = [
        reading
        for cell, found in table.cells.items()
        for reading in ((_middle(found),) if cell in often else found)
    ]
    return replace(table, readings=tuple(kept))


def _middle(cell: Sequence[Reading]) -> Reading:
    in_order = sorted(cell, key=lambda reading: reading.value)
    middle = in_order[(len(in_order) - 1) // 2]
    return replace(middle, noise=1.0 / _independent(cell), times=len(cell))


def memory_value(quantity: Quantity, number: float) -> float:
    """Return a number as it was written down in the memory unit of its quantity.

    Examples
    --------
    >>> memory_value(Quantity.REAGENT, 12.5), memory_value(Quantity.SAMPLE, 1.5)
    (0.0125, 1.5)
    """
    if quantity.is_volume:
        return litres(number)
    return kelvin(number) if quantity is Quantity.TEMPERATURE else number


PLUS = " + "
"""Between the fillings of one pour, as the record and the sheet have it."""


def parts_of(number: str) -> tuple[str, ...]:
    """Return the numbers of which a number as it is recorded is the sum.

    Examples
    --------
    >>> parts_of("20 + 15.5"), parts_of("12.50")
    (('20', '15.5'), ('12.50',))
    """
    return tuple(number.split(PLUS))


# The bench folds a run anew after each reading, with the same few numbers each time.
@functools.lru_cache(maxsize=4096)
def number_value(number: str) -> float:
    """Return the value of a number as it is recorded, in the unit of its column.

    Examples
    --------
    >>> number_value("20.1 + 15.2"), number_value("12.50")
    (35.3, 12.5)
    """
    parts = parts_of(number)
    return float(parts[0]) if len(parts) == 1 else float(sum(Decimal(part) for part in parts))


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
            value=memory_value(quantity, number_value(column[index])),
            typed=column[index],
            place=f"row {index + 2}, column {quantity.value}",
        )
        for index, run in enumerate(runs)
        for quantity, column in typed.items()
        if column[index]
    ]
    return RunTable(runs=tuple(runs), readings=tuple(readings))
