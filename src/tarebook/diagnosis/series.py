"""Checks of the whole row: it should show an equivalence point and an answer that makes sense."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.chemistry.equilibrium import ACTIVITY_REACH
from tarebook.core.quantity import Estimate
from tarebook.findings.finding import Finding, Severity
from tarebook.diagnosis.fit import MISFIT_P, check_fit
from tarebook.diagnosis.titres import check_titres
from tarebook.model.cup_chemistry import gas_kept_is_unknown
from tarebook.reduction.joint.distributions import chi2_tail
from tarebook.reduction.joint.results import FullReduction
from tarebook.reduction.results import UsualReduction, UsualSeries
from tarebook.reduction.shapes import Shape, better_than_two_lines
from tarebook.reduction.usual_fit import bend_beside
from tarebook.series.experiment import Experiment

SURELY = 3.3
"""Multiples of u by which a content must lie above the whole sample: chance puts one in 2000 of a
pure substance there, and 1 in 40 above its 95 % interval."""

FEWEST_ON_A_SIDE = 3


def check_definition(experiment: Experiment) -> Iterator[Finding]:
    """Yield what the definition leaves open."""
    reaction = experiment.reaction
    if gas_kept_is_unknown(reaction):
        yield Finding(
            code="chemistry-unknown",
            severity=Severity.STOP,
            message=f"How much {reaction.gas} the liquid keeps is not known here for "
            f"{reaction.analyte} and {reaction.reagent}, so neither the model nor the textbook "
            "calculation can say what the sample holds.",
            do="Take a carbonate and an acid that are known here: docs/model.md says where they "
            "stand. Or measure the volume of the gas, and use this row to show the limiting "
            "reactant alone.",
        )
    if not experiment.reagent.strength_is_sure:
        yield Finding(
            code="strength-without-uncertainty",
            severity=Severity.LOOK,
            message="The definition does not say how sure the strength of the stock is, so the "
            "answer looks surer than it is.",
            do="Add relative_u or tolerance_percent to [reagent.strength].",
        )
    yield from check_titres(experiment.reagent)


def check_results(
    usual: UsualReduction, full: FullReduction, *, is_explained: bool = False
) -> Iterator[Finding]:
    """Yield what is odd about the row as a whole, by the textbook calculation and by the fit.

    Parameters
    ----------
    usual : UsualReduction
    full : FullReduction
    is_explained : bool
        Whether another finding names the cause of a fit that was rejected.
    """
    if full.is_open and (usual.series or full.gas_is_hidden):
        yield _content_open(full, named_by_lines=usual.series is not None)
    elif usual.series is None:
        yield _no_change_over(usual, full)
    elif not full.is_withheld:
        yield from _sides(usual.series)
        yield from _scatter(usual.series, full)
        yield from _other_shape(usual.series)
    yield from check_fit(full, is_explained=is_explained)
    if not full.is_withheld:
        yield from _above_one(usual.series, full)
    if full.series is not None:
        yield from _extrapolated(full)
    elif full.rejected is None and not is_explained and not full.is_withheld:
        yield _no_full_result(full.no_series_because, usual_too=usual.series is None)


def _no_change_over(usual: UsualReduction, full: FullReduction) -> Finding:
    because = usual.no_series_because.rstrip(".")
    if full.series is not None:
        holds = full.series.p_chi2 >= MISFIT_P
        return Finding(
            code="no-change-over",
            severity=Severity.NOTE if holds else Severity.LOOK,
            message=f"The textbook calculation has no result: {because}. The answer rests on the "
            "model alone.",
            do="Take what is missing if the cups still stand there; next time see to it that at "
            "least three runs lie on each side of the equivalence point.",
        )
    return Finding(
        code="no-change-over",
        severity=Severity.STOP,
        message="The row shows no equivalence point, so it does not say what the sample holds: "
        f"{because}.",
        do=f"Add runs with less and with more {usual.axis.grows}, so that at least three lie on "
        "each side.",
    )


def _content_open(full: FullReduction, *, named_by_lines: bool) -> Finding:
    """Return what leaves the content open, also where the two lines would name one."""
    lines = (
        " Two straight lines through the masses lost would name a content all the same, so the "
        "textbook calculation is no answer either."
    )
    return Finding(
        code="content-open",
        severity=Severity.STOP,
        message=f"{full.no_series_because.rstrip('.')}.{lines if named_by_lines else ''}",
        do="Do what is said above, and take the row again.",
    )


def _no_full_result(why: str, *, usual_too: bool) -> Finding:
    return Finding(
        code="no-full-result",
        severity=Severity.NOTE,
        message=f"The model of the cup could not be fitted to this row: {why.rstrip('.')}.",
        do="Settle what is said of the row first."
        if usual_too
        else "Use the textbook calculation, and remember what it leaves out.",
    )


def _scatter(series: UsualSeries, full: FullReduction) -> Iterator[Finding]:
    """Yield a finding where chance and the bend of the lines do not explain the scatter.

    Where the joint fit speaks, it says more: it knows that the lines are not straight.
    """
    if full.series is not None or full.rejected is not None:
        return
    # What the lines are off for being straight is as good as an error of each point.
    bend = bend_beside(series.axis, series.fit) * series.axis.portion
    misfit = [
        (point.gas - point.fitted) ** 2 / (series.axis.portion**2 / point.weight + bend**2)
        for point in series.curve
    ]
    p = chi2_tail(sum(misfit), series.fit.dof)
    if p >= MISFIT_P:
        return
    worst = series.curve[misfit.index(max(misfit))]
    yield Finding(
        code="scatter",
        severity=Severity.LOOK,
        message=f"The readings scatter {series.birge:.1f} times as much about the two lines as "
        "the instruments explain; the textbook calculation's uncertainties are widened by that "
        "factor.",
        do=f"Look at the runs that lie farthest from the lines, run {worst.run} first.",
        evidence={"factor": series.birge, "p": p, "farthest_run": worst.run},
    )


def _other_shape(series: UsualSeries) -> Iterator[Finding]:
    """Yield a note if a simpler curve describes the row clearly better than two lines."""
    better = better_than_two_lines(series.shapes)
    if better is None:
        return
    lines = next(fit for fit in series.shapes if fit.shape is Shape.TWO_LINES)
    yield Finding(
        code="two-lines-not-best",
        severity=Severity.NOTE,
        message=f"A {better.shape.value} describes the row better than two lines do (Akaike's "
        f"criterion is {lines.difference:.0f} lower), so the equivalence point of the textbook "
        "calculation is not well seen.",
        do="Add runs near the equivalence point and well beyond it.",
        evidence={
            "aic_two_lines": lines.aic,
            "aic_other": better.aic,
            "other": better.shape.value,
        },
    )


def _above_one(usual: UsualSeries | None, full: FullReduction) -> Iterator[Finding]:
    """Yield a finding for a content of more than the whole sample."""
    if full.series is not None:
        content = full.series.sample_mass_fraction
        if _is_above_one(content):
            yield _content_above_one(content)
        elif usual is not None and _is_above_one(usual.sample_mass_fraction):
            yield _textbook_above_one(usual.sample_mass_fraction, full)
    elif usual is not None and _is_above_one(usual.sample_mass_fraction):
        yield _content_above_one(usual.sample_mass_fraction)


def _is_above_one(content: Estimate) -> bool:
    return content.value - SURELY * content.u > 1.0


def _content_above_one(content: Estimate) -> Finding:
    return Finding(
        code="content-above-one",
        severity=Severity.STOP,
        message=f"The content comes out at {100 * content.value:.1f} %, more than the whole "
        "sample.",
        do="Check the masses, the equation and which product leaves; is more lost than gas?",
        evidence={"mass_fraction": content.value, "u": content.u},
    )


def _textbook_above_one(content: Estimate, full: FullReduction) -> Finding:
    by_sample = [run for run in full.runs if run.limiting == "sample"] or list(full.runs)
    water = sum(run.vapour + run.evaporated for run in by_sample) / len(by_sample)
    kept = sum(run.dissolved + run.head_gas for run in by_sample) / len(by_sample)
    return Finding(
        code="textbook-above-one",
        severity=Severity.NOTE,
        message=f"The textbook calculation comes out at {100 * content.value:.1f} %, more than the "
        f"whole sample: it takes all that a cup loses for gas, and here {water:.3f} g of water "
        f"left each cup as vapour or dried up, {_of_kept_gas(kept)}. The model of the cup counts "
        "both.",
        do="Nothing: the content by the model is the answer. With smaller portions or more liquid "
        "the cups stay cooler and lose less water. Never cover a cup that makes gas.",
        evidence={"mass_fraction": content.value, "water_g": water, "gas_kept_g": kept},
    )


def _of_kept_gas(kept: float) -> str:
    """Return what the gas in the cup does to the balance; below zero it is lighter than air."""
    if kept >= 0:
        return f"while {kept:.3f} g of gas stayed behind"
    return (
        f"and the gas that still lay in it, lighter than the air it displaced, took {-kept:.3f} g "
        "more off the balance"
    )


def _sides(series: UsualSeries) -> Iterator[Finding]:
    at = series.meets_at.value
    left = sum(point.grown < at for point in series.curve)
    for side, count in (("before", left), ("after", len(series.curve) - left)):
        if count < FEWEST_ON_A_SIDE:
            words = f"Only {count} run{'s' if count != 1 else ''} lie{'s' if count == 1 else ''}"
            yield Finding(
                code="few-runs-on-a-side",
                severity=Severity.NOTE,
                message=f"{words} {side} the equivalence point; the line there rests on little.",
                do=f"Add a run {side} it next time.",
                evidence={"runs": float(count)},
            )


def _extrapolated(full: FullReduction) -> Iterator[Finding]:
    beyond = [run.run for run in full.runs if run.extrapolated]
    if beyond:
        yield Finding(
            code="activity-extrapolated",
            severity=Severity.NOTE,
            message="The solution is stronger than the activity model is meant for "
            f"({ACTIVITY_REACH:g} mol/kg of ionic strength) in "
            f"run{'s' if len(beyond) > 1 else ''} {', '.join(beyond)}.",
            do="Trust the pH there to a few tenths only; the content hardly depends on it.",
            evidence={"runs": ", ".join(beyond)},
        )
