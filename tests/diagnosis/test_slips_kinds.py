"""Each kind of slip in single cups has a row with just that slip, and a user's check names it.

All cases share one clean series of the forward model, and are read from a folder as a user has it.
Slips that the readings cannot tell from one another (docs/slips.md) are planted in a size at which
the kind itself is the likeliest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scripts.study_slips.series import TOP, drawn, experiment, moved, rewritten, typed, with_cup
from scripts.study_slips.worlds import OWN

from tarebook.api import reduce
from tarebook.diagnosis.slips.check import ALSO_FROM, first_explanation
from tarebook.diagnosis.slips.kinds import OF_A_ROW, PREFIX, TOO_LIGHT, SlipKind
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.series import weigh_series
from tarebook.findings.finding import Finding, Severity
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import write_sheet
from tarebook.series.experiment import Experiment

EXAMPLE = "clean-pool-granules"
SEED = 3
REAGENT, DILUENT = Quantity.REAGENT, Quantity.DILUENT
TARE, LIQUID, SAMPLE, FINAL = Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL


@dataclass(frozen=True, slots=True)
class Row:
    """A clean row to spoil."""

    of: Experiment
    series: Simulated

    @property
    def table(self) -> RunTable:
        """The clean readings."""
        return self.series.table

    def written(self, run: str, quantity: Quantity, text: str) -> RunTable:
        """Return the readings with another number in one place."""
        assert text != typed(self.table, run, quantity)
        return rewritten(self.table, run, quantity, text)

    def off(self, run: str, quantity: Quantity, change: float) -> RunTable:
        """Return the readings with one number larger."""
        return moved(self.table, run, quantity, change)

    def cup(self, run: str, *, strength: float = 1.0, **contents: float) -> RunTable:
        """Return the readings if one cup had really held something else."""
        index = self.table.runs.index(run)
        return with_cup(self.series, self.of, index, OWN, strength=strength, **contents)

    def inside(self, run: str, name: str) -> float:
        """Return what is really in a cup: [L], [g]."""
        return float(getattr(self.series.contents, name)[self.table.runs.index(run)])


@pytest.fixture(scope="module")
def row() -> Row:
    """The clean row that all cases share."""
    of = experiment(EXAMPLE)
    rng = np.random.Generator(np.random.SFC64(SEED))
    return Row(of, simulate(of, drawn(of, rng), rng))


def swapped(row: Row, quantities: tuple[Quantity, ...]) -> RunTable:
    """Runs 2 and 7 in each other's row."""
    table = row.table
    for quantity in quantities:
        for run, other in (("2", "7"), ("7", "2")):
            table = rewritten(table, run, quantity, typed(row.table, other, quantity))
    return table


def shifted(row: Row, quantity: Quantity) -> RunTable:
    """A column one row off from the third run on."""
    table, runs = row.table, row.table.runs[2:]
    for run, other in zip(runs, (*runs[1:], runs[0]), strict=True):
        table = rewritten(table, run, quantity, typed(row.table, other, quantity))
    return table


def volumes_exchanged(row: Row) -> RunTable:
    """The two volumes of run 2 in each other's column."""
    reagent, diluent = (typed(row.table, "2", q) for q in (REAGENT, DILUENT))
    table = rewritten(row.table, "2", REAGENT, diluent)
    return rewritten(table, "2", DILUENT, reagent)


def target_written(row: Row) -> RunTable:
    """18.0 mL asked for and written, 3.4 mL less poured."""
    less = row.inside("4", "reagent") - 3.4e-3
    table = row.cup("4", reagent=less)
    return rewritten(table, "4", REAGENT, "18.0")


def net(row: Row) -> RunTable:
    """The empty vessel already subtracted from the last mass of run 5."""
    tare, final = (float(typed(row.table, "5", q)) for q in (TARE, FINAL))
    return row.written("5", FINAL, f"{final - tare:.3f}")


# Kind, how it is made, its runs, the readings in which it shows.
IN_CUPS: list[tuple[SlipKind, Callable[[Row], RunTable], tuple[str, ...], tuple[Quantity, ...]]] = [
    (SlipKind.DIGIT_WRONG, lambda r: r.written("3", TARE, "12.738"), ("3",), (TARE,)),
    (SlipKind.DIGITS_SWAPPED, lambda r: r.written("6", LIQUID, "65.699"), ("6",), (LIQUID,)),
    (SlipKind.DIGIT_EXTRA, lambda r: r.written("5", REAGENT, "211.5"), ("5",), (REAGENT,)),
    (SlipKind.DIGIT_MISSING, lambda r: r.written("7", LIQUID, "5.060"), ("7",), (LIQUID,)),
    (SlipKind.POINT_SHIFTED, lambda r: r.written("4", DILUENT, "2.16"), ("4",), (DILUENT,)),
    (SlipKind.OTHER_UNIT, lambda r: r.written("6", SAMPLE, "1507"), ("6",), (SAMPLE,)),
    (SlipKind.LINE_MISREAD, lambda r: r.off("3", DILUENT, 10.0), ("3",), (DILUENT,)),
    (SlipKind.MENISCUS_EDGE, lambda r: r.off("2", REAGENT, 0.9), ("2",), (REAGENT,)),
    (SlipKind.TARGET_WRITTEN, target_written, ("4",), (REAGENT,)),
    (
        SlipKind.COPIED,
        lambda r: r.written("5", FINAL, typed(r.table, "4", FINAL)),
        ("5",),
        (FINAL,),
    ),
    (SlipKind.NOT_ZEROED, lambda r: r.off("3", TARE, 4.36), ("3",), (TARE,)),
    (SlipKind.TARE_SUBTRACTED, net, ("5",), (FINAL,)),
    (
        SlipKind.LIQUIDS_EXCHANGED,
        lambda r: r.cup("2", reagent=r.inside("2", "diluent"), diluent=r.inside("2", "reagent")),
        ("2",),
        (REAGENT, DILUENT),
    ),
    (SlipKind.VOLUMES_EXCHANGED, volumes_exchanged, ("2",), (REAGENT, DILUENT)),
    (SlipKind.SAMPLE_MISSING, lambda r: r.cup("6", sample=0.0), ("6",), (SAMPLE, FINAL)),
    (
        SlipKind.SAMPLE_TWICE,
        lambda r: r.cup("7", sample=2.0 * r.inside("7", "sample")),
        ("7",),
        (SAMPLE, FINAL),
    ),
    (
        SlipKind.SAMPLE_LOST,
        lambda r: r.cup("2", sample=0.45 * r.inside("2", "sample")),
        ("2",),
        (SAMPLE, FINAL),
    ),
    (SlipKind.LIQUID_LOST, lambda r: r.off("6", FINAL, -0.274), ("6",), (FINAL, SAMPLE)),
    (SlipKind.WEIGHED_EARLY, lambda r: r.off("7", FINAL, 0.116), ("7",), (FINAL, SAMPLE)),
    (SlipKind.WEIGHED_LATE, lambda r: r.cup("5", minutes=1440.0), ("5",), (FINAL, SAMPLE)),
    (SlipKind.OTHER_STOCK, lambda r: r.cup("3", strength=2.0), ("3",), (REAGENT, FINAL, SAMPLE)),
    (SlipKind.RUNS_EXCHANGED, lambda r: swapped(r, (LIQUID,)), ("2", "7"), (LIQUID,)),
    (
        SlipKind.COLUMN_SHIFTED,
        lambda r: shifted(r, LIQUID),
        ("3", "4", "5", "6", "7", "8"),
        (LIQUID,),
    ),
    (SlipKind.UNKNOWN, lambda r: r.off("3", DILUENT, 4.6), ("3",), (DILUENT,)),
]


NEVER_LIKELIEST = {SlipKind.WEIGHED_LATE}
"""How fast water leaves is known to a factor of two, so lost liquid explains as much and is made
more often: it comes first, and this one is named beside it."""


def slips_of(table: RunTable, folder: Path) -> list[Finding]:
    """Return the slips that a check of a folder with these readings names, as they are shown."""
    definition = (TOP / "examples" / EXAMPLE / "experiment.toml").read_text(encoding="utf-8")
    (folder / "experiment.toml").write_text(definition, encoding="utf-8")
    (folder / "readings.csv").write_text(write_sheet(table), encoding="utf-8")
    found = reduce(folder, draws=1000).findings
    return [f for f in found if f.code.startswith(PREFIX) and f.severity is not Severity.NOTE]


def test_every_kind_in_single_cups_has_its_case() -> None:
    assert {case[0] for case in IN_CUPS} == set(SlipKind) - OF_A_ROW


@pytest.mark.parametrize(
    ("kind", "make", "runs", "readings"), IN_CUPS, ids=[case[0].value for case in IN_CUPS]
)
def test_a_slip_is_named_with_run_reading_and_kind(
    row: Row,
    tmp_path: Path,
    kind: SlipKind,
    make: Callable[[Row], RunTable],
    runs: tuple[str, ...],
    readings: tuple[Quantity, ...],
) -> None:
    (found,) = slips_of(make(row), tmp_path)
    if kind in NEVER_LIKELIEST:
        assert SlipKind(found.code.removeprefix(PREFIX)) in TOO_LIGHT - {kind}
    else:
        assert found.code == PREFIX + kind.value
    assert set(found.all_runs) == set(runs)
    assert found.reading in {quantity.value for quantity in readings}


@pytest.mark.parametrize("kind", sorted(NEVER_LIKELIEST))
def test_a_kind_that_is_never_the_likeliest_is_the_next(row: Row, kind: SlipKind) -> None:
    (case,) = (case for case in IN_CUPS if case[0] is kind)
    weights = weigh_series(row.of, case[1](row), default_odds())
    assert weights is not None
    (run,) = (run for run in weights.runs if run.run in case[2])
    first, others = first_explanation(run)
    (said,) = (other for other in others if other.hypothesis.kind is kind)
    assert said.probability >= ALSO_FROM * first.probability
