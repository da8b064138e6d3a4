"""Each kind of slip has a row with exactly that slip, and is named first: run, reading and kind.

All cases share one clean series of the forward model.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.phrases import names
from tests.slipped_cups import IN_CUPS, Row, clean_row

from tarebook.diagnosis.slips.check import check_slips
from tarebook.diagnosis.slips.kinds import OF_A_ROW, PREFIX, TOO_LIGHT, SlipKind
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.records.readings import Quantity, RunTable


@pytest.fixture(scope="module")
def row() -> Row:
    """The clean row that all cases share."""
    return clean_row()


NEVER_LIKELIEST = {SlipKind.WEIGHED_LATE}
"""How fast water leaves is known to a factor of two, so lost liquid explains as much and is made
more often: it comes first, and this one is named beside it."""


def first_of(row: Row, table: RunTable) -> Finding:
    """Return the finding shown first."""
    found = most_severe_first(check_slips(row.of, table))
    return next(finding for finding in found if finding.severity is not Severity.NOTE)


def test_every_kind_in_single_cups_has_its_case() -> None:
    assert {case[0] for case in IN_CUPS} == set(SlipKind) - OF_A_ROW


@pytest.mark.parametrize(
    ("kind", "make", "runs", "readings"), IN_CUPS, ids=[case[0].value for case in IN_CUPS]
)
def test_a_slip_is_named_with_run_reading_and_kind(
    row: Row,
    kind: SlipKind,
    make: Callable[[Row], RunTable],
    runs: tuple[str, ...],
    readings: tuple[Quantity, ...],
) -> None:
    found = first_of(row, make(row))
    if kind in NEVER_LIKELIEST:
        assert SlipKind(found.code.removeprefix(PREFIX)) in TOO_LIGHT
        assert names(found, kind)
    else:
        assert found.code == PREFIX + kind.value
    assert set(found.all_runs) == set(runs)
    assert found.reading in {quantity.value for quantity in readings}
