"""Rows of reagent volumes: equal steps, the best placement, and the even row nearly as good."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import count

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.measurement.instruments import is_readable
from tarebook.measurement.volumes import SINGLE_MARK, VolumeInstrument
from tarebook.planning.contents import ContentRange
from tarebook.planning.exchange import IntArray, criterion, exchange, ridged
from tarebook.planning.information import Candidates, candidates, expected_u, within_model
from tarebook.planning.span import ON_EACH_SIDE, Span, equivalence_range, spans
from tarebook.series.experiment import Experiment

MOST_CANDIDATES = 120
NEARLY = 0.01
"""Even rows within 1 % of the best even one are as good; of these the most pleasing is taken."""

N_STARTS = 8

MOST_ALIKE = 2
"""Cups that the best row may fill alike: more of them teach a class nothing new, and a row that
stands on few volumes cannot show where the model errs."""


class Best(StrEnum):
    """What a row is to be best for."""

    CONTENT = "content"
    EQUIVALENCE = "equivalence"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of reagent volumes and what it would give.

    Attributes
    ----------
    name : {"given", "equal steps", "best", "even"}
    reagent : tuple of float, [L]
    u_content : float, [g/g]
        Root mean square over the contents planned for.
    u_equivalence : float, [L]
    before, after : int
        Runs below and above the equivalence point, whatever the content.
    """

    name: str
    reagent: tuple[float, ...]
    u_content: float
    u_equivalence: float
    before: int
    after: int

    def u(self, best: Best) -> float:
        """Return the uncertainty of the wanted number."""
        return self.u_content if best is Best.CONTENT else self.u_equivalence


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """Reagent volumes that can be poured.

    Attributes
    ----------
    reagent : ndarray, shape (c,), [L]
    on_line : ndarray of bool, shape (c,)
        Whether both portions end at a line of their ware.
    spacing : float, [L]
    """

    reagent: FloatArray
    on_line: BoolArray
    spacing: float


def readable(instrument: VolumeInstrument, volume: FloatArray) -> BoolArray:
    """Return which volumes an instrument can be read to, whether or not it holds them.

    Parameters
    ----------
    instrument : VolumeInstrument
    volume : ndarray, [L]
    """
    if instrument.kind in SINGLE_MARK:
        return is_readable(volume, instrument.capacity)
    return is_readable(volume, instrument.finest_reading)


def pourable(instrument: VolumeInstrument, volume: FloatArray) -> BoolArray:
    """Return which volumes an instrument measures well: read to its step, neither low nor twice.

    Nothing at all needs no measuring and is always fine.

    Parameters
    ----------
    instrument : VolumeInstrument
    volume : ndarray, [L]
    """
    rule = reference_table("tarebook.planning", "vessel")["pouring"]
    fills = rule["most_fillings"] if instrument.kind in SINGLE_MARK else 1
    slack = 1e-9
    least = rule["lowest_part"] * instrument.capacity - slack
    fits: BoolArray = (volume >= least) & (volume <= fills * instrument.capacity + slack)
    poured: BoolArray = (volume < slack) | (fits & readable(instrument, volume))
    return poured


def _on_line(instrument: VolumeInstrument, volume: FloatArray) -> BoolArray:
    if instrument.kind in SINGLE_MARK or instrument.graduation == 0.0:
        return readable(instrument, volume)
    return is_readable(volume, instrument.graduation)


def spacing(experiment: Experiment) -> float:
    """Return the distance of the volumes that are looked at, [L].

    Half a graduation of the reagent's ware, or more where that would be more than about a hundred.
    """
    instrument, total = experiment.equipment.reagent, experiment.total_volume
    if instrument.kind in SINGLE_MARK:
        return instrument.capacity
    finest = instrument.graduation / 2.0
    if finest == 0.0:
        # Nothing is printed on it: steps that please, from a hundredth of the total or so.
        finest = litres(10.0 ** math.floor(math.log10(millilitres(total) / MOST_CANDIDATES)))
    factors = (times * 10.0**power for power in count() for times in (1, 2, 4))
    coarser: float = next(f for f in factors if total / (f * finest) <= MOST_CANDIDATES)
    return coarser * finest


def grid(experiment: Experiment) -> Grid:
    """Return the reagent volumes that can be poured so that the diluent can be poured too.

    Nothing but diluent and nothing but reagent are among them if one pour can hold all of it.
    """
    step, total = spacing(experiment), experiment.total_volume
    end = math.ceil(total / step - 1e-9)
    volume: FloatArray = np.append(step * np.arange(end, dtype=np.float64), total)
    rest = total - volume
    equipment = experiment.equipment
    fits = pourable(equipment.reagent, volume) & pourable(equipment.diluent, rest)
    volume, rest = volume[fits], rest[fits]
    on_line = _on_line(equipment.reagent, volume) & _on_line(equipment.diluent, rest)
    return Grid(
        reagent=volume,
        on_line=on_line if on_line.any() else np.ones(len(volume), dtype=np.bool_),
        spacing=step,
    )


def described(
    experiment: Experiment,
    name: str,
    reagent: FloatArray,
    contents: ContentRange,
    sample: FloatArray | None = None,
) -> Row:
    """Return a row with what it would give.

    Parameters
    ----------
    experiment : Experiment
    name : str
    reagent : ndarray, shape (n,), [L]
    contents : ContentRange
    sample : ndarray, shape (n,), [g], optional
        The nominal mass if not given.
    """
    u = expected_u(experiment, reagent, contents.scenarios, sample)
    low, high = equivalence_range(experiment, contents)
    nominal = experiment.sample.nominal_mass
    places = reagent if sample is None else nominal * reagent / np.where(sample > 0, sample, np.inf)
    counted = np.full(len(reagent), True) if sample is None else sample > 0
    return Row(
        name=name,
        reagent=tuple(float(v) for v in reagent),
        u_content=u.content,
        u_equivalence=u.equivalence,
        before=int(np.count_nonzero(counted & (places < low))),
        after=int(np.count_nonzero(counted & (places > high))),
    )


def equal_steps(experiment: Experiment, n_runs: int) -> FloatArray | None:
    """Return the row that needs no thought: the total volume in n + 1 equal steps, [L].

    Rounded to volumes that can be poured; None where the ware can measure none.
    """
    every = grid(experiment)
    volumes = every.reagent[every.on_line]
    volumes = volumes[(volumes > 0.0) & (volumes < experiment.total_volume)]
    if not volumes.size:
        return None
    wanted = experiment.total_volume * np.arange(1, n_runs + 1) / (n_runs + 1)
    nearest: FloatArray = volumes[np.argmin(np.abs(wanted[:, None] - volumes), axis=1)]
    return nearest


def best_row(
    experiment: Experiment,
    n_runs: int,
    contents: ContentRange,
    best: Best,
    rng: np.random.Generator,
    n_starts: int = N_STARTS,
) -> FloatArray | None:
    """Return the best placement on volumes that end at a line; None if none spans the equivalence.

    Parameters
    ----------
    experiment : Experiment
    n_runs : int
    contents : ContentRange
    best : Best
    rng : numpy.random.Generator
        Of the starts.
    n_starts : int
        More of them find the best more surely.

    Returns
    -------
    ndarray, shape (n_runs,), [L], ascending; or None
    """
    every = grid(experiment)
    volumes = every.reagent[every.on_line]
    volumes = volumes[: within_model(experiment, volumes, contents.scenarios)]
    slots = (_slots(volumes, n_runs, span) for span in spans(experiment, contents))
    allowed = next((one for one in slots if one.any(axis=1).all()), None)
    if not volumes.size or allowed is None:
        return None
    field = candidates(experiment, volumes, contents.scenarios)
    starts = rng.integers(0, len(volumes), (n_starts, n_runs))
    # A ware of few volumes cannot do without more of the same.
    alike = max(MOST_ALIKE, math.ceil(n_runs / len(volumes)))
    found = exchange(field.factors, field.base, allowed, _goal(field, best), starts, alike)
    return volumes[list(found.chosen)]


def _slots(volumes: FloatArray, n_runs: int, span: Span) -> BoolArray:
    """Return what may stand in each slot: some runs on either side of the equivalence point."""
    allowed = np.ones((n_runs, len(volumes)), dtype=np.bool_)
    sides = min(ON_EACH_SIDE, n_runs // 2)
    allowed[:sides] &= volumes < span.low
    allowed[n_runs - sides :] &= volumes > span.high
    return allowed


def _goal(field: Candidates, best: Best) -> FloatArray:
    return field.content_goal if best is Best.CONTENT else field.equivalence_goal


def even_row(
    experiment: Experiment, n_runs: int, contents: ContentRange, best: Best
) -> FloatArray | None:
    """Return the best row with a constant step, on lines if it can be; None if none spans.

    Parameters
    ----------
    experiment : Experiment
    n_runs : int
    contents : ContentRange
    best : Best

    Returns
    -------
    ndarray, shape (n_runs,), [L], ascending; or None
    """
    every = grid(experiment)
    step = every.spacing
    volumes = every.reagent[is_readable(every.reagent, step)]
    volumes = volumes[: within_model(experiment, volumes, contents.scenarios)]
    # Lines are poured to more surely than halves between them, which serve where lines do not.
    lines = volumes[np.isin(volumes, every.reagent[every.on_line])]
    choices = (
        (some, _even_choices(some, step, n_runs, span))
        for some in (lines, volumes)
        for span in spans(experiment, contents)
    )
    found = next(((some, chosen) for some, chosen in choices if chosen.size), None)
    if found is None:
        return None
    volumes, chosen = found
    field = candidates(experiment, volumes, contents.scenarios)
    own = np.einsum("scki,sckj->scij", field.factors, field.factors)
    total = np.zeros((len(own), len(chosen), *own.shape[2:])) + ridged(field.base, field.factors)
    for slot in range(n_runs):
        total += own[:, chosen[:, slot]]
    value = criterion(total, _goal(field, best))
    good = np.flatnonzero(value <= (1.0 + NEARLY) ** 2 * value.min())
    shown: list[FloatArray] = [volumes[chosen[i]] for i in good]
    return min(shown, key=lambda row: (_plainness(row), float(row[0])))


def _even_choices(volumes: FloatArray, step: float, n_runs: int, span: Span) -> IntArray:
    """Return every choice of volumes with a constant step that spans the equivalence point.

    Returns
    -------
    ndarray of int, shape (k, n_runs)
        Places in `volumes`.
    """
    if not volumes.size:
        return np.empty((0, n_runs), dtype=np.int64)
    place = np.round(volumes / step).astype(np.int64)
    most = int(place[-1])
    where = np.full(most + 1, -1)
    where[place] = np.arange(len(place))
    widths = np.arange(1, most // max(n_runs - 1, 1) + 1)
    starts, steps = (part.ravel() for part in np.meshgrid(place, widths, indexing="ij"))
    wanted = starts[:, None] + steps[:, None] * np.arange(n_runs)
    rows = where[wanted[wanted[:, -1] <= most]]
    rows = rows[(rows >= 0).all(axis=1)]
    sides = min(ON_EACH_SIDE, n_runs // 2)
    reach = (volumes[rows[:, sides - 1]] < span.low) & (volumes[rows[:, -sides]] > span.high)
    spanning: IntArray = rows[reach]
    return spanning


def _plainness(row: FloatArray) -> tuple[int, int]:
    """Return how plain start and step of a row look: decimals first, then digits."""
    numbers = [f"{millilitres(value):.6g}" for value in (float(row[0]), float(row[1] - row[0]))]
    decimals = sum(len(number.partition(".")[2]) for number in numbers)
    digits = sum(len(number.strip("0").replace(".", "")) for number in numbers)
    uneven = sum(0 if float(number) % 5 == 0 else 1 for number in numbers)
    return decimals, digits + uneven
