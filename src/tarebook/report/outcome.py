"""All that a page, a sheet or a table can show: gathered by `api`, read by every renderer."""

from __future__ import annotations

from dataclasses import dataclass, field

from tarebook.diagnosis.handover import Handover
from tarebook.findings.finding import Finding
from tarebook.records.readings import RunTable
from tarebook.records.source import ReadingsSource
from tarebook.records.stage import RowStage
from tarebook.reduction.joint.results import FullReduction, FullSeries
from tarebook.reduction.results import UsualReduction, UsualSeries
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One reduced experiment.

    Attributes
    ----------
    experiment : Experiment
    table : RunTable
    usual : UsualReduction
        The textbook's sum.
    full : FullReduction
        The joint fit by the model of the cup.
    findings : tuple of Finding
        The most severe first.
    version : str
        Of the program.
    stage : RowStage
        How far the row has come.
    handover : Handover or None
        What is handed on with cups that are not finished; None where all are.
    made_on : str
        Date of the report, ISO 8601; empty where a file must not depend on the day.
    source : ReadingsSource
        Whether the readings are those of the record or of a sheet.
    """

    experiment: Experiment
    table: RunTable
    usual: UsualReduction
    full: FullReduction
    findings: tuple[Finding, ...]
    version: str
    stage: RowStage
    handover: Handover | None
    made_on: str
    source: ReadingsSource = field(default_factory=ReadingsSource)

    @property
    def series(self) -> FullSeries | UsualSeries | None:
        """The result that answers: the model's, or the textbook calculation's where it has none.

        A fit that was rejected has shown that the row is not to be relied on, so that the textbook
        calculation does not take its place.
        """
        if self.full.series is not None:
            return self.full.series
        return None if self.full.is_withheld else self.usual.series
