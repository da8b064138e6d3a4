"""Each kind of slip in single cups has a row with just that slip, and a user's check names it.

All cases share one clean series of the forward model, and are read from a folder as a user has it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from scripts.study_slips.series import TOP
from tests.slipped_cups import IN_CUPS, Row, clean_row

from tarebook.api import reduce
from tarebook.diagnosis.slips.check import ALSO_FROM, first_explanation
from tarebook.diagnosis.slips.kinds import OF_A_ROW, PREFIX, TOO_LIGHT, SlipKind
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.series import weigh_series
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import write_sheet

pytestmark = pytest.mark.slow

EXAMPLE = "clean-pool-granules"


@pytest.fixture(scope="module")
def row() -> Row:
    """The clean row that all cases share."""
    return clean_row()


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
