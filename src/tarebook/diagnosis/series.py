"""Checks of the whole row: it should show an equivalence point and an answer that makes sense."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.chemistry.equilibrium import ACTIVITY_REACH
from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.diagnosis.fit import MISFIT_P, check_fit
from tarebook.diagnosis.titres import check_titres
from tarebook.findings.finding import Finding, Severity
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

SHAPES = {
    Shape.THROUGH_ORIGIN: "through-origin",
    Shape.STRAIGHT: "straight-line",
    Shape.QUADRATIC: "quadratic",
}
"""Curves that may describe a row better than two lines, by what its sentence calls them."""


def check_definition(experiment: Experiment) -> Iterator[Finding]:
    """Yield what the definition leaves open."""
    reaction = experiment.reaction
    if gas_kept_is_unknown(reaction):
        yield Finding(
            code="chemistry-unknown",
            severity=Severity.STOP,
            values={"gas": reaction.gas, "analyte": reaction.analyte, "reagent": reaction.reagent},
        )
    if not experiment.reagent.strength_is_sure:
        yield Finding(
            code="strength-without-uncertainty",
            severity=Severity.LOOK,
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


def said(why: Phrase | None) -> Phrase:
    """Return why there is no result; a reduction without one always says so."""
    return why if why is not None else Phrase.of("not-known-why")


def _no_change_over(usual: UsualReduction, full: FullReduction) -> Finding:
    because = said(usual.no_series_because)
    if full.series is not None:
        holds = full.series.p_chi2 >= MISFIT_P
        return Finding(
            code="no-change-over",
            severity=Severity.NOTE if holds else Severity.LOOK,
            values={"because": because, "then": "model"},
        )
    return Finding(
        code="no-change-over",
        severity=Severity.STOP,
        values={"because": because, "then": "nothing", "grows": usual.axis.grows},
    )


def _content_open(full: FullReduction, *, named_by_lines: bool) -> Finding:
    """Return what leaves the content open, also where the two lines would name one."""
    return Finding(
        code="content-open",
        severity=Severity.STOP,
        values={"because": said(full.no_series_because), "lines": named_by_lines},
    )


def _no_full_result(why: Phrase | None, *, usual_too: bool) -> Finding:
    return Finding(
        code="no-full-result",
        severity=Severity.NOTE,
        values={"because": said(why), "usual_too": usual_too},
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
        evidence={
            "aic_two_lines": lines.aic,
            "aic_other": better.aic,
            "other": better.shape.value,
        },
        values={"lower_by": lines.difference, "shape": SHAPES[better.shape]},
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
        evidence={"mass_fraction": content.value, "u": content.u},
    )


def _textbook_above_one(content: Estimate, full: FullReduction) -> Finding:
    by_sample = [run for run in full.runs if run.limiting == "sample"] or list(full.runs)
    water = sum(run.vapour + run.evaporated for run in by_sample) / len(by_sample)
    kept = sum(run.dissolved + run.head_gas for run in by_sample) / len(by_sample)
    return Finding(
        code="textbook-above-one",
        severity=Severity.NOTE,
        evidence={"mass_fraction": content.value, "water_g": water, "gas_kept_g": kept},
        values={"gas_in_cup": "kept" if kept >= 0 else "lighter", "kept_g": abs(kept)},
    )


def _sides(series: UsualSeries) -> Iterator[Finding]:
    at = series.meets_at.value
    left = sum(point.grown < at for point in series.curve)
    for side, count in (("before", left), ("after", len(series.curve) - left)):
        if count < FEWEST_ON_A_SIDE:
            yield Finding(
                code="few-runs-on-a-side",
                severity=Severity.NOTE,
                evidence={"runs": float(count)},
                values={"side": side},
            )


def _extrapolated(full: FullReduction) -> Iterator[Finding]:
    beyond = [run.run for run in full.runs if run.extrapolated]
    if beyond:
        yield Finding(
            code="activity-extrapolated",
            severity=Severity.NOTE,
            evidence={"runs": ", ".join(beyond)},
            values={"reach": ACTIVITY_REACH, "n": len(beyond), "beyond": tuple(beyond)},
        )
