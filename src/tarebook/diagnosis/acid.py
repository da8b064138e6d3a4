"""Acid or base of the sample that the definition does not know of: the likely cause."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from tarebook.core.phrase import Phrase
from tarebook.diagnosis.checks import check_table, runs_to_set_aside
from tarebook.diagnosis.columns import ColumnsExchanged, columns_exchanged, columns_finding
from tarebook.diagnosis.losses import most_lost
from tarebook.diagnosis.slips.check import NOT_WEIGHED, check_slips
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.diagnosis.slips.robust import handle
from tarebook.diagnosis.slips.shared import shared_fit
from tarebook.diagnosis.tares import without_zeros, zero_tares_contradicted, zeros_finding
from tarebook.findings.finding import Finding, Severity
from tarebook.model.cup_chemistry import gas_kept_is_unknown
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.acid import (
    CLEARLY_BETTER,
    AcidInSample,
    acid_in_sample,
    asks_for_acid,
    with_unknown_acid,
)
from tarebook.reduction.joint.results import FullReduction
from tarebook.reduction.joint.within import cups_beyond
from tarebook.series.experiment import Experiment

WITHHELD: Final = Phrase.of("acid-not-defined")
WITHHELD_BASE: Final = Phrase.of("base-not-defined")
"""Why no content is stated of a row whose sample brings acid, or takes it up in another way."""

MOST_WRONG: Final = 0.5
"""Part of the runs in which a number can be plainly wrong; of more, the row itself is another."""

OF_A_DRAUGHT: Final = 0.4
"""Part of what the strongest draught would dry that a cup must have lost to be shown as proof."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A row held against slips, with the acid that it asks for.

    Attributes
    ----------
    slips : tuple of Finding
    acid : AcidInSample or None
        Own acid that explains the row and that the definition does not know of.
    columns : ColumnsExchanged or None
        Two columns in each other's place, if two are: nothing else was then looked at.
    """

    slips: tuple[Finding, ...]
    acid: AcidInSample | None
    columns: ColumnsExchanged | None = None


def weigh_with_acid(experiment: Experiment, table: RunTable, odds: SlipOdds | None) -> Weighed:
    """Return the slips of a row; where its sample brings acid, those that remain with it.

    Without that acid every cup with little reagent looks like a slip, and none is.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds or None
        How often slips are made; None for the table that ships.
    """
    columns = columns_exchanged(experiment, table)
    if columns is not None:
        return Weighed(slips=(columns_finding(columns),), acid=None, columns=columns)
    if gas_kept_is_unknown(experiment.reaction):
        return Weighed(slips=(), acid=None)  # by a model that does not hold every cup looks wrong
    zeros = zero_tares_contradicted(experiment, table)
    if zeros is None:
        return _weighed(experiment, table, odds)
    # Nothing else of these cups is in doubt: what is left of the row is weighed as any other.
    weighed = _weighed(experiment, without_zeros(table, zeros), odds)
    return replace(weighed, slips=(zeros_finding(zeros), *weighed.slips))


def _weighed(experiment: Experiment, table: RunTable, odds: SlipOdds | None) -> Weighed:
    possible = _possible(experiment, table)
    if possible is None:
        return Weighed(slips=_slips(experiment, table, odds), acid=None)
    unknown = with_unknown_acid(experiment)
    acid = acid_in_sample(experiment, possible)
    if acid is not None and acid.explains and acid.gain >= CLEARLY_BETTER:
        return Weighed(slips=_slips(unknown, table, odds), acid=acid)
    slips = _slips(experiment, table, odds)
    # A base that gains less competes with slips, which gain as much: only if there are none.
    if acid is not None and acid.explains and not slips:
        return Weighed(slips=slips, acid=acid)
    # A slip beside the acid: once more without the readings that are in doubt.
    if slips and _may_have_acid(experiment, table, slips):
        others = _slips(unknown, table, odds)
        acid = acid_in_sample(experiment, _settled(experiment, table, others))
        if acid is not None and acid.explains:
            return Weighed(slips=others, acid=acid)
    return Weighed(slips=slips, acid=None)


def _may_have_acid(experiment: Experiment, table: RunTable, slips: tuple[Finding, ...]) -> bool:
    """Return whether slips beside an acid are worth looking for.

    The row must be in doubt without the readings that are, and with the acid the runs that stay
    must agree: where they do not, no acid explains them.
    """
    if not asks_for_acid(experiment, _settled(experiment, table, slips)):
        return False
    fit = shared_fit(with_unknown_acid(experiment), _within_model(experiment, table))
    return fit is not None and fit.agrees


def slips_and_cause(
    experiment: Experiment, table: RunTable, odds: SlipOdds | None
) -> tuple[Finding, ...]:
    """Return the slips of a row, after the acid of its sample if that is what is wrong.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds or None
    """
    return all_said(experiment, table, weigh_with_acid(experiment, table, odds))


def all_said(experiment: Experiment, table: RunTable, weighed: Weighed) -> tuple[Finding, ...]:
    """Return the slips of a row that was weighed, after the acid of its sample."""
    if weighed.acid is None:
        return weighed.slips
    return (acid_finding(experiment, table, weighed.acid), *weighed.slips)


def _slips(experiment: Experiment, table: RunTable, odds: SlipOdds | None) -> tuple[Finding, ...]:
    """Return the slips of a row; where one cup hinders that, those of the cups within the model."""
    slips = check_slips(experiment, table, odds)
    if not any(finding.code == NOT_WEIGHED for finding in slips):
        return slips
    within = _within_model(experiment, table)
    return slips if within is table else check_slips(experiment, within, odds)


def _within_model(experiment: Experiment, table: RunTable) -> RunTable:
    """Return the runs that the model holds for."""
    beyond = {each.run for each in cups_beyond(experiment, table)}
    if not beyond:
        return table
    return replace(
        table,
        runs=tuple(run for run in table.runs if run not in beyond),
        readings=tuple(reading for reading in table.readings if reading.run not in beyond),
    )


def _possible(experiment: Experiment, table: RunTable) -> RunTable | None:
    """Return the runs within the model in which no number is plainly wrong; None if most cannot be.

    No acid explains a mass of 300 g: a fit that has to tries all that it can, and finds none.
    """
    table = _within_model(experiment, table)
    aside = runs_to_set_aside(check_table(experiment, table))
    if len(aside.unusable) > MOST_WRONG * len(table.runs):
        return None
    wrong = {*aside.unusable, *aside.doubtful}
    if not wrong or len(wrong) > MOST_WRONG * len(table.runs):
        return table
    return replace(
        table,
        runs=tuple(run for run in table.runs if run not in wrong),
        readings=tuple(reading for reading in table.readings if reading.run not in wrong),
    )


def _settled(experiment: Experiment, table: RunTable, slips: tuple[Finding, ...]) -> RunTable:
    """Return the readings that no finding of severity stop puts in doubt."""
    return handle(table, check_table(experiment, table), slips).table


def withheld(full: FullReduction, acid: AcidInSample) -> FullReduction:
    """Return a joint fit that leaves out the sample's acid or base as what it is: no result."""
    return replace(
        full,
        runs=(),
        series=None,
        no_series_because=WITHHELD_BASE if acid.is_base else WITHHELD,
        rejected=full.series or full.rejected,
        rejected_runs=full.runs or full.rejected_runs,
        is_withheld=True,
    )


def acid_finding(experiment: Experiment, table: RunTable, acid: AcidInSample) -> Finding:
    """Return what is said of a sample with acid or base that the definition does not know of.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    acid : AcidInSample
    """
    return _base_found(experiment, acid) if acid.is_base else _acid_found(experiment, table, acid)


def _base_found(experiment: Experiment, acid: AcidInSample) -> Finding:
    evidence = _evidence(acid)
    analyte, gas = experiment.reaction.analyte, experiment.reaction.gas
    return Finding(
        code="base-in-sample",
        severity=Severity.STOP,
        evidence=evidence,
        values={
            "gas": gas,
            "analyte": analyte,
            "per_g": _protons(acid),
            "would_be": _gives(acid, evidence),
        },
    )


def _evidence(acid: AcidInSample) -> dict[str, float | str]:
    evidence: dict[str, float | str] = {
        "own_acid_mmol/g": 1000.0 * acid.own_acid.value,
        "u_mmol/g": 1000.0 * acid.own_acid.u,
        "chi2_with": acid.chi2_with,
    }
    if math.isfinite(acid.chi2_without):
        evidence["chi2_without"] = acid.chi2_without
    return evidence


def _protons(acid: AcidInSample) -> Phrase:
    """Return how much acid each gram brings or takes up."""
    value, u = abs(1000.0 * acid.own_acid.value), 1000.0 * acid.own_acid.u
    return Phrase.of("protons-per-gram", value=value, u=u)


def _gives(acid: AcidInSample, evidence: dict[str, float | str]) -> Phrase:
    """Return what the content would be with it; the numbers go into the evidence."""
    content = acid.content
    if content is None:
        return Phrase.of("content-not-told")
    evidence |= {"content_with": content.value, "content_u": content.u}
    return Phrase.of("content-would-be", content=content)


def _acid_found(experiment: Experiment, table: RunTable, acid: AcidInSample) -> Finding:
    evidence = _evidence(acid)
    seen = _in_plain_water(experiment, table, evidence)
    return Finding(
        code="acid-in-sample",
        severity=Severity.STOP,
        evidence=evidence,
        values={"seen": seen, "per_g": _protons(acid), "would_be": _gives(acid, evidence)},
    )


def _in_plain_water(
    experiment: Experiment, table: RunTable, evidence: dict[str, float | str]
) -> Phrase:
    """Return what shows the acid: a cup without reagent that made gas, if there is one."""
    losses = most_lost(experiment, table)
    dry = {
        run: lost
        for run, lost in losses.items()
        if table.mean_of(run, Quantity.REAGENT) == 0.0 and lost.lost > OF_A_DRAUGHT * lost.water
    }
    if not dry:
        return Phrase.of("seen-in-low-cups")
    run, lost = next(iter(dry.items()))
    evidence |= {"run": run, "lost_g": lost.lost, "water_g": lost.water}
    return Phrase.of("seen-in-plain-water", run=run, lost_g=lost.lost)
