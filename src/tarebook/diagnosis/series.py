"""Checks of the whole row: it should show a change-over and an answer that makes sense."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.diagnosis.findings import Finding, Severity
from tarebook.reduction.joint.results import FullReduction, FullSeries
from tarebook.reduction.results import UsualReduction, UsualSeries
from tarebook.series.experiment import Experiment

SCATTER_LOOK = 2.0
"""Scatter about the lines over what the instruments explain, from which it is worth a look."""

FEWEST_ON_A_SIDE = 3


def check_definition(experiment: Experiment) -> Iterator[Finding]:
    """Yield what the definition leaves open."""
    if not experiment.reagent.strength_is_sure:
        yield Finding(
            code="strength-without-uncertainty",
            severity=Severity.LOOK,
            message="The definition does not say how sure the strength of the stock is, so the "
            "answer looks surer than it is.",
            do="Add relative_u or tolerance_percent to [reagent.strength].",
        )


def check_results(usual: UsualReduction, full: FullReduction) -> Iterator[Finding]:
    """Yield what is odd about the row as a whole, by the usual sum and by the joint fit."""
    if usual.series is None:
        yield _no_change_over(usual.no_series_because, by_model=full.series is not None)
    else:
        yield from _check_usual(usual.series)
    if full.series is None:
        yield _no_full_result(full.no_series_because, usual_too=usual.series is None)
    else:
        yield from _check_full(full, full.series)


def _no_change_over(why: str, *, by_model: bool) -> Finding:
    because = why.rstrip(".")
    if by_model:
        return Finding(
            code="no-change-over",
            severity=Severity.LOOK,
            message=f"The usual sum has no result: {because}. The answer rests on the model alone.",
            do="Take what is missing if the cups still stand there; next time see to it that at "
            "least three runs lie on each side of the change-over.",
        )
    return Finding(
        code="no-change-over",
        severity=Severity.STOP,
        message="The row shows no change-over, so it does not say what the sample holds: "
        f"{because}.",
        do="Add runs with less and with more reagent, so that at least three lie on each side.",
    )


def _no_full_result(why: str, *, usual_too: bool) -> Finding:
    return Finding(
        code="no-full-result",
        severity=Severity.NOTE,
        message=f"The model of the cup could not be fitted to this row: {why.rstrip('.')}.",
        do="Settle what is said of the row first."
        if usual_too
        else "Use the usual sum, and remember what it leaves out.",
    )


def _check_usual(series: UsualSeries) -> Iterator[Finding]:
    yield from _sides(series)
    if series.birge > SCATTER_LOOK:
        yield Finding(
            code="scatter",
            severity=Severity.LOOK,
            message=f"The readings scatter {series.birge:.1f} times as much about the two lines as "
            "the instruments explain; the usual sum's uncertainties are widened by that factor.",
            do="Look at the runs that lie farthest from the lines; the usual sum's two straight "
            "lines may also be too simple for this chemistry.",
            evidence={"factor": series.birge},
        )
    content = series.sample_mass_fraction
    if content.low > 1.0:
        yield Finding(
            code="content-above-one",
            severity=Severity.STOP,
            message=f"The content comes out at {100 * content.value:.1f} %, more than the whole "
            "sample.",
            do="Check the masses, the equation and which product leaves; is more lost than gas?",
            evidence={"mass_fraction": content.value, "low": content.low},
        )


def _sides(series: UsualSeries) -> Iterator[Finding]:
    at = series.equivalence.value
    left = sum(point.reagent < at for point in series.curve)
    for side, count in (("before", left), ("after", len(series.curve) - left)):
        if count < FEWEST_ON_A_SIDE:
            words = f"Only {count} run{'s' if count != 1 else ''} lie{'s' if count == 1 else ''}"
            yield Finding(
                code="few-runs-on-a-side",
                severity=Severity.NOTE,
                message=f"{words} {side} the change-over; the line there rests on little.",
                do=f"Add a run {side} it next time.",
                evidence={"runs": float(count)},
            )


MISFIT_P = 0.001
"""Chance of a worse misfit below which the model and the readings are said to disagree."""


def _check_full(full: FullReduction, series: FullSeries) -> Iterator[Finding]:
    if series.p_chi2 < MISFIT_P:
        yield Finding(
            code="model-misfit",
            severity=Severity.LOOK,
            message="The readings do not fit the model of the cup as well as their uncertainties "
            "promise; one of them may be wrong.",
            do="Look at the readings with the largest misfit; take them again if the cup still "
            "stands there.",
            evidence={"chi2": series.chi2, "dof": float(series.dof), "p": series.p_chi2},
        )
    beyond = [run.run for run in full.runs if run.extrapolated]
    if beyond:
        yield Finding(
            code="activity-extrapolated",
            severity=Severity.NOTE,
            message="The solution is stronger than the activity model is meant for (0.5 mol/kg) in "
            f"run{'s' if len(beyond) > 1 else ''} {', '.join(beyond)}.",
            do="Trust the pH there to a few tenths only; the content hardly depends on it.",
            evidence={"runs": ", ".join(beyond)},
        )
