"""The two lines of the workbook: how a sheet calculates them, cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from xlsxwriter.utility import xl_range_abs

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import UsualSeries
from tarebook.reduction.row_axis import RowAxis, slope_beyond
from tarebook.report.workbook_sheets import FIRST_ROW
from tarebook.series.experiment import Experiment

SLOPING = "line beyond, p at no sample"

SAME = 1e-6
"""Relative difference below which the lines of the sheet and of the program are the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Two weighted lines as the sheet calculates them.

    Attributes
    ----------
    runs : tuple of str
        By rising reagent per gram of sample, or by rising sample where that grows.
    x, y, weight : ndarray, shape (n,)
        Reagent [mL/g], gas [g/g] and weight in the fit, in that order; where the sample grows
        sample [g] and gas [g] for the reagent that each cup asks for.
    n_left : int
        Runs on the rising line.
    meets_at_run : bool
        Whether the best lines meet at the last run on the left itself: two lines drawn freely
        would then cross outside the gap between the runs that they belong to.
    a, b, at : float
        Start, slope and equivalence point: [g/g], [g/mL] and [mL/g]; or [g], [g/g] and [g].
    p, k : float
        Height at zero and slope of the line beyond the equivalence point; as a rule that is level.
    """

    runs: tuple[str, ...]
    x: FloatArray
    y: FloatArray
    weight: FloatArray
    n_left: int
    meets_at_run: bool
    a: float
    b: float
    p: float
    k: float
    at: float

    def line(self, x: FloatArray) -> FloatArray:
        """Return the height of the lower of the two lines."""
        return np.minimum(self.a + self.b * x, self.p + self.k * x)


def two_lines(experiment: Experiment, series: UsualSeries) -> Lines:
    """Return the two lines by the formulas of the sheet, for the program's partition of the runs.

    Parameters
    ----------
    experiment : Experiment
    series : UsualSeries
    """
    axis, unit = series.axis, 1000.0 if series.axis.grows == "reagent" else 1.0
    points = sorted(series.curve, key=lambda point: point.grown)
    x = np.array([unit * point.grown / axis.portion for point in points])
    y = np.array([point.gas / axis.portion for point in points])
    weight = np.array([point.weight for point in points])
    found = unit * series.meets_at.value / axis.portion
    n_left = int(np.sum(x <= found * (1.0 + SAME)))
    left, right = slice(None, n_left), slice(n_left, None)
    a, b = _line(x[left], y[left], weight[left])
    k = float(
        slope_beyond(axis, experiment.reaction, np.array(b), np.array(own_protons(experiment)))
    )
    p = float(np.average(y[right] - k * x[right], weights=weight[right]))
    meets_at_run = abs((p - a) / (b - k) - found) > SAME * found
    if meets_at_run:
        at, k = x[n_left - 1], series.fit.right_slope
        p, over = _line(np.minimum(x - at, 0.0), y - k * x, weight)
        a, b = p - over * at, over + k
    return Lines(
        runs=tuple(point.run for point in points),
        x=x,
        y=y,
        weight=weight,
        n_left=n_left,
        meets_at_run=meets_at_run,
        a=float(a),
        b=b,
        p=p,
        k=k,
        at=float((p - a) / (b - k)),
    )


def _line(x: FloatArray, y: FloatArray, weight: FloatArray) -> tuple[float, float]:
    """Return start and slope of a weighted line."""
    middle_x, middle_y = np.average(x, weights=weight), np.average(y, weights=weight)
    slope = np.sum(weight * (x - middle_x) * y) / np.sum(weight * (x - middle_x) ** 2)
    return float(middle_y - slope * middle_x), float(slope)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineWords:
    """Heads, units and notes of the lines, by what grows along the row."""

    grown: str
    x: str
    x_unit: str
    y: str
    y_unit: str
    slope_unit: str
    weight: str
    x_title: str
    y_title: str
    start: str
    p: str
    beyond: str
    side: str


def line_words(axis: RowAxis) -> LineWords:
    """Return the heads and units of the lines of a row.

    Parameters
    ----------
    axis : RowAxis
    """
    if axis.grows == "reagent":
        return LineWords(
            grown="volume",
            x="reagent per gram",
            x_unit="mL/g",
            y="gas per gram",
            y_unit="g/g",
            slope_unit="g/mL",
            weight="1 / u² of the gas per gram",
            x_title="reagent per gram of sample / mL/g",
            y_title="gas per gram of sample / g/g",
            start="Where the rising line meets the axis; about zero is expected.",
            p="plateau p",
            beyond="Level of the gas once the sample limits.",
            side="on the plateau",
        )
    return LineWords(
        grown="sample",
        x="sample, scaled",
        x_unit="g",
        y="gas, scaled",
        y_unit="g",
        slope_unit="g/g",
        weight="1 / u² of the gas, scaled",
        x_title="sample for the reagent of a cup / g",
        y_title="gas for the reagent of a cup / g",
        start="Where the rising line meets the axis: below zero by the gas that stays in a cup.",
        p="level p",
        beyond="The gas once the reagent limits.",
        side="beyond",
    )


@dataclass(frozen=True, slots=True)
class Cell:
    """One line of the results: its name for formulas, what it is, and how it is calculated."""

    name: str
    words: str
    formula: str
    value: float
    unit: str
    decimals: int
    how: str
    u: float | None = None


def own_protons(experiment: Experiment) -> float:
    """Return the acid that a gram of sample brings to the reaction, as declared, [mol/g]."""
    declared = declared_acid(experiment)
    if declared is None or not protons_of_extent(experiment.reaction):
        return 0.0
    return declared.value


def line_cells(experiment: Experiment, lines: Lines, words: LineWords) -> Iterator[Cell]:
    """Yield the cells of both lines and of where they meet.

    Parameters
    ----------
    experiment : Experiment
    lines : Lines
    words : LineWords
    """
    last = FIRST_ROW + len(lines.runs) - 1
    x, y, w, s = (xl_range_abs(FIRST_ROW, column, last, column) for column in (2, 3, 4, 5))
    cells = _joined_cells if lines.meets_at_run else _free_cells
    yield from cells(experiment, lines, words, (x, y, w, s))
    over = "line_b" if lines.k == 0.0 else "(line_b-line_k)"
    how = f"a + b × {words.grown} = p" + ("" if lines.k == 0.0 else f" + k × {words.grown}")
    yield Cell("line_break", "where the lines meet", f"=(line_p-line_a)/{over}", lines.at,
               words.x_unit, 4, f"{how}, solved for the {words.grown}.")  # fmt: skip


def _free_cells(
    experiment: Experiment, lines: Lines, words: LineWords, ranges: tuple[str, str, str, str]
) -> Iterator[Cell]:
    """Yield two lines that cross inside their gap: each is that of its own runs."""
    x, y, w, s = ranges
    on = np.arange(len(lines.runs)) < lines.n_left
    mean_x, mean_y = (
        float(np.average(values[on], weights=lines.weight[on])) for values in (lines.x, lines.y)
    )
    for name, letter, values, mean, unit in (
        ("mid_x", "x", x, mean_x, words.x_unit),
        ("mid_y", "y", y, mean_y, words.y_unit),
    ):
        formula = f"=SUMPRODUCT({w},{s},{values})/SUMPRODUCT({w},{s})"
        yield Cell(name, f"weighted mean of {letter} on the rise", formula, mean, unit, 4, "")
    yield Cell("line_b", "slope b",
               f"=SUMPRODUCT({w}*{s}*({x}-mid_x)*{y})/SUMPRODUCT({w}*{s}*({x}-mid_x)^2)",
               lines.b, words.slope_unit, 5,
               "Weighted least squares through the runs on the rise.")  # fmt: skip
    yield Cell("line_a", "start a", "=mid_y-line_b*mid_x", lines.a, words.y_unit, 5,
               words.start)  # fmt: skip
    yield from _slope_beyond(experiment, lines)
    level = lines.k == 0.0
    height = y if level else f"({y}-line_k*{x})"
    how = "gas" if level else "gas − k × sample"
    yield Cell("line_p", words.p if level else SLOPING,
               f"=SUMPRODUCT({w}*(1-{s})*{height})/SUMPRODUCT({w}*(1-{s}))", lines.p,
               words.y_unit, 5, f"Weighted mean of the {how} of the other runs.")  # fmt: skip


def _joined_cells(
    experiment: Experiment, lines: Lines, words: LineWords, ranges: tuple[str, str, str, str]
) -> Iterator[Cell]:
    """Yield two lines that meet at a run: one fit through all runs."""
    x, y, w, s = ranges
    z = f"({s}*({x}-meet_x))"
    at = lines.x[lines.n_left - 1]
    shifted = np.minimum(lines.x - at, 0.0)
    middle = float(np.average(shifted, weights=lines.weight))
    yield Cell("meet_x", "where they meet: at this run", f"=INDEX({x},n_left)", float(at),
               words.x_unit, 4, "Two free lines would cross outside their gap; the best pair of "
               "lines meets at a run itself.")  # fmt: skip
    yield Cell("mean_z", "weighted mean of x − that, on the rise",
               f"=SUMPRODUCT({w}*{z})/SUM({w})", middle, words.x_unit, 4,
               f"Zero for the runs {words.side}.")  # fmt: skip
    yield from _slope_beyond(experiment, lines)
    level = lines.k == 0.0
    height, and_k = (y, "") if level else (f"({y}-line_k*{x})", "+line_k")
    yield Cell("line_b", "slope b",
               f"=SUMPRODUCT({w}*({z}-mean_z)*{height})/SUMPRODUCT({w}*({z}-mean_z)^2){and_k}",
               lines.b, words.slope_unit, 5,
               "Weighted least squares through all runs.")  # fmt: skip
    over = "line_b" if level else "(line_b-line_k)"
    yield Cell("line_p", words.p if level else SLOPING,
               f"=SUMPRODUCT({w}*{height})/SUM({w})-{over}*mean_z", lines.p, words.y_unit, 5,
               words.beyond)  # fmt: skip
    yield Cell("line_a", "start a", f"=line_p-{over}*meet_x", lines.a, words.y_unit, 5,
               words.start)  # fmt: skip


def _slope_beyond(experiment: Experiment, lines: Lines) -> Iterator[Cell]:
    """Yield the slope of the line beyond the equivalence point, where it has one."""
    if lines.k == 0.0:
        return
    brings = "own_acid/1000/own_acid_taken*nu_gas*M_gas" if own_protons(experiment) else ""
    if lag_of(experiment.reaction) == 0.0:
        yield Cell("line_k", "slope k beyond", f"={brings}", lines.k, "g/g", 5,
                   "Gas by the acid that each gram more brings itself.")  # fmt: skip
        return
    how = "By the equation: each gram more takes acid from the hydrogen carbonate of the others."
    formula = f"=({brings}-first_step*line_b)/(1-first_step)"
    if lines.meets_at_run:
        # Slope and break then hang together in a circle, which a sheet cannot solve.
        how, formula = f"{how} As the program found it.", f"={lines.k!r}"
    yield Cell("line_k", "slope k beyond", formula, lines.k, "g/g", 5, how)
