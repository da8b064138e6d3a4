"""Each kind of slip made with all runs alike has a row with it, and a user's check names it.

The rows are made by the forward model, of an example's definition, and read from a folder.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from scripts.study_slips.series import TOP, drawn, experiment, moved, number_like, rewritten, typed

from tarebook.api import reduce
from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.kinds import OF_A_ROW, PREFIX, SlipKind
from tarebook.findings.finding import Finding, Severity
from tarebook.model.parameters import Parameters
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import write_sheet

pytestmark = pytest.mark.slow

POOL, BATH = "clean-pool-granules", "weak-acid-foot-bath"
SEED = 3
STRONGER = 1.3
BOAT_G, LID_G = 0.5, 0.5
STILL_TO_COME = 0.2
SHOWN = 1.1
"""What went wrong, and by how much."""


@dataclass(frozen=True, slots=True)
class Spoilt:
    """Readings of a row in which all runs went wrong alike, and what is really so."""

    example: str
    table: RunTable
    content: float
    strength: float


def simulated(
    example: str, *, stronger: float = 1.0, from_its_other_end: bool = False
) -> tuple[Simulated, Parameters]:
    """Return a row of an example's definition, perhaps with another stock or poured in reverse."""
    of = experiment(example)
    rng = np.random.Generator(np.random.SFC64(SEED))
    truth = drawn(of, rng)
    truth = truth.with_values(concentration=stronger * truth.concentration)
    if from_its_other_end:
        of = replace(
            of,
            planned=tuple(replace(p, reagent=p.diluent, diluent=p.reagent) for p in of.planned),
        )
    return simulate(of, truth, rng), truth


def spoilt(example: str, change: Callable[[Simulated], RunTable]) -> Spoilt:
    """Return a clean row of an example, changed."""
    series, truth = simulated(example)
    return Spoilt(example, change(series), float(truth.content), float(truth.concentration))


def shifted(table: RunTable, quantity: Quantity, change: FloatArray | float) -> RunTable:
    """Return the readings with a mass in each run larger."""
    by_run = np.broadcast_to(np.asarray(change), len(table.runs))
    for run, by in zip(table.runs, by_run, strict=True):
        table = moved(table, run, quantity, float(by))
    return table


def other_stock() -> Spoilt:
    """A stock that is stronger than the definition says."""
    series, truth = simulated(BATH, stronger=STRONGER)
    return Spoilt(BATH, series.table, float(truth.content), float(truth.concentration))


def liquids_exchanged() -> Spoilt:
    """What was asked for of one liquid was poured of the other; what was asked for is written."""
    series, truth = simulated(POOL, from_its_other_end=True)
    other = {Quantity.REAGENT: Quantity.DILUENT, Quantity.DILUENT: Quantity.REAGENT}
    readings = tuple(
        replace(r, quantity=other.get(r.quantity, r.quantity)) for r in series.table.readings
    )
    table = replace(series.table, readings=readings)
    return Spoilt(POOL, table, float(truth.content), float(truth.concentration))


def scale_off(series: Simulated) -> RunTable:
    """Return what a balance writes that shows a tenth too much."""
    table = series.table
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL):
        for run in table.runs:
            text = typed(table, run, quantity)
            new = number_like(text, SHOWN * float(text))
            table = rewritten(table, run, quantity, new)
    return table


# Kind, how it is made, the number of the evidence that says how large it is, what that really is.
IN_ROWS: list[tuple[SlipKind, Callable[[], Spoilt], str, Callable[[Spoilt], float], float]] = [
    (
        SlipKind.OTHER_STOCK_THROUGHOUT,
        other_stock,
        "strength_mol_per_L",
        lambda s: s.strength,
        0.03,
    ),
    (
        SlipKind.PORTIONS_OFF,
        lambda: spoilt(POOL, lambda s: shifted(s.table, Quantity.SAMPLE, -BOAT_G)),
        "too_heavy_g",
        lambda _: -BOAT_G,
        0.1,
    ),
    (
        SlipKind.WEIGHINGS_OFF,
        lambda: spoilt(POOL, lambda s: shifted(s.table, Quantity.FINAL, LID_G)),
        "too_heavy_g",
        lambda _: LID_G,
        0.1,
    ),
    (
        SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT,
        liquids_exchanged,
        "content",
        lambda s: s.content,
        0.02,
    ),
    (
        SlipKind.WEIGHED_EARLY_THROUGHOUT,
        lambda: spoilt(
            POOL,
            lambda s: shifted(s.table, Quantity.FINAL, STILL_TO_COME * s.state.gas_made),
        ),
        "part_of_the_gas_to_come",
        lambda _: STILL_TO_COME,
        0.3,
    ),
    (
        SlipKind.BALANCE_SCALE_OFF,
        lambda: spoilt(POOL, scale_off),
        "factor",
        lambda _: SHOWN,
        0.001,
    ),
]


def found_in(spoilt: Spoilt, folder: Path) -> list[Finding]:
    """Return what a check of a folder with these readings says of the whole row."""
    definition = TOP / "examples" / spoilt.example / "experiment.toml"
    text = definition.read_text(encoding="utf-8")
    (folder / "experiment.toml").write_text(text, encoding="utf-8")
    (folder / "readings.csv").write_text(write_sheet(spoilt.table), encoding="utf-8")
    return list(reduce(folder, draws=1000).findings)


def test_every_kind_of_a_row_has_its_case() -> None:
    assert {case[0] for case in IN_ROWS} == OF_A_ROW


@pytest.mark.parametrize(
    ("kind", "make", "size", "true", "within"), IN_ROWS, ids=[case[0].value for case in IN_ROWS]
)
def test_what_went_wrong_in_all_runs_alike_is_named_with_its_size(
    tmp_path: Path,
    kind: SlipKind,
    make: Callable[[], Spoilt],
    size: str,
    true: Callable[[Spoilt], float],
    within: float,
) -> None:
    row = make()
    first, *others = (f for f in found_in(row, tmp_path) if f.code.startswith(PREFIX))
    assert first.code == PREFIX + kind.value
    assert first.severity is Severity.STOP
    assert first.all_runs == ()
    assert float(first.evidence[size]) == pytest.approx(true(row), rel=within)
    assert others == [], "no single cup is blamed for what all share"


def test_a_boat_weighed_with_every_portion_stops_the_answer_as_acid_of_the_sample(
    tmp_path: Path,
) -> None:
    """Less of the sample than was weighed gives less gas in every cup, as does a sample that spent
    some on acid of its own: the acid is asked for first, and the answer is stopped."""
    row = spoilt(POOL, lambda s: shifted(s.table, Quantity.SAMPLE, 0.35))
    found = found_in(row, tmp_path)
    assert (found[0].code, found[0].severity) == ("acid-in-sample", Severity.STOP)
