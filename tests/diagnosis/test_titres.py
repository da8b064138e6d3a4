"""Titres in the definition are looked at like the readings of the sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.words import said

from tarebook.diagnosis.checks import check_table
from tarebook.findings.finding import Finding, Severity
from tarebook.records.sheet import blank_sheet, parse_sheet
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[2] / "examples" / "clean-pool-granules" / "experiment.toml"
TITRES = "[18.75, 18.80, 18.75]"


def _said(titres: str, more: tuple[str, str] = ("", "")) -> list[Finding]:
    text = POOL.read_text(encoding="utf-8")
    assert text.count(TITRES) == 1
    experiment = parse_definition(text.replace(TITRES, titres).replace(*more), "experiment.toml")
    table = parse_sheet(blank_sheet([run.run for run in experiment.planned]))
    return [one for one in check_table(experiment, table) if one.code == "titres-apart"]


@pytest.mark.parametrize(
    ("titres", "named"),
    [
        ("[18.75, 18.80, 17.85]", "differ by 0.95 mL (17.85, 18.75 and 18.8 mL)"),
        ("[18.75, 19.75]", "differ by 1 mL (18.75 and 19.75 mL)"),
    ],
)
def test_a_mark_misread_and_digits_exchanged_are_named(titres: str, named: str) -> None:
    (finding,) = _said(titres)
    assert named in said(finding)
    assert finding.severity is Severity.LOOK


@pytest.mark.parametrize("titres", [TITRES, "[18.75]", "[18.75, 18.80, 18.57]", "[18.6, 19.0]"])
def test_titres_that_agree_as_people_read_them_are_left_in_peace(titres: str) -> None:
    assert not _said(titres)


def test_a_rough_burette_may_scatter_more() -> None:
    rough = ("burette_tolerance_mL = 0.05", "burette_tolerance_mL = 0.25")
    assert not _said("[18.75, 19.75]", rough)
