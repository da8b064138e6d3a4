"""What is known of each run: by the model of the cup where it was fitted, else by the textbook."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tarebook.core.phrase import Phrase
from tarebook.core.quantity import COVERAGE_95, Estimate
from tarebook.reduction.joint.results import FullRun
from tarebook.reduction.results import Reactant, RunAmounts, expects_gas
from tarebook.report.outcome import Outcome

_LOST = ("vessel_liquid_g", "sample_g", "final_g")
"""Readings that the mass lost is made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunResult:
    """One run of the table, whatever was found of it.

    Attributes
    ----------
    run : str
    usual : RunAmounts or None
    full : FullRun or None
    reagent, sample, gas_expected : Estimate or None
        The model's where there is one.
    limiting : {"reagent", "sample"} or None
    p_reagent_limiting : float or None, [1]
    lost : Estimate or None, [g]
        The mass lost: the gas made, if one believes the textbook calculation.
    yield_percent : Estimate or None, [%]
        `lost` over `gas_expected`.
    why_not_usual, why_not_full : Phrase or None
        Why the textbook calculation has no amounts, why the fit did not use the run; else None.
    """

    run: str
    usual: RunAmounts | None
    full: FullRun | None
    reagent: Estimate | None
    sample: Estimate | None
    gas_expected: Estimate | None
    limiting: Reactant | None
    p_reagent_limiting: float | None
    lost: Estimate | None
    yield_percent: Estimate | None
    why_not_usual: Phrase | None
    why_not_full: Phrase | None

    @property
    def rest(self) -> float | None:
        """What is left between mass lost and gas made: buoyancy, fitted balance error, [g]."""
        full, lost = self.full, self.lost
        if full is None or full.gas_full is None or lost is None:
            return None
        kept, left = full.dissolved + full.head_gas, full.vapour + full.evaporated
        return full.gas_full.value - (lost.value + kept - left)

    @property
    def p_of_limiting(self) -> float | None:
        """How probable it is that the reactant that is named as limiting does limit."""
        if self.p_reagent_limiting is None:
            return None
        by_reagent = self.limiting == "reagent"
        return self.p_reagent_limiting if by_reagent else 1.0 - self.p_reagent_limiting


def run_results(outcome: Outcome) -> tuple[RunResult, ...]:
    """Return what is known of each run, in the order of the readings.

    Parameters
    ----------
    outcome : Outcome
    """
    usual = {run.run: run for run in outcome.usual.runs}
    left_out = {run.run: run.why for run in outcome.usual.left_out}
    fitted = outcome.full.series is not None
    full = {run.run: run for run in outcome.full.runs} if fitted else {}
    equipment = outcome.experiment.equipment
    linearity_u = math.hypot(equipment.balance.linearity_u, equipment.sample_balance.linearity_u)
    return tuple(
        _result(
            run,
            usual.get(run),
            full.get(run),
            why_not_usual=left_out.get(run),
            fitted=fitted,
            linearity_u=linearity_u,
            is_closed=outcome.experiment.is_sealed(run),
        )
        for run in outcome.table.runs
    )


def _result(
    run: str,
    usual: RunAmounts | None,
    full: FullRun | None,
    *,
    why_not_usual: Phrase | None,
    fitted: bool,
    linearity_u: float,
    is_closed: bool,
) -> RunResult:
    best = full or usual
    lost = usual.gas_found if usual else _lost_as_read(full, linearity_u) if full else None
    why_not_full: Phrase | None = None
    if fitted and full is None:
        why_not_full = why_not_usual or (usual.not_in_fit if usual else None)
        why_not_full = why_not_full or Phrase("no-usable-reading")
    return RunResult(
        run=run,
        usual=usual,
        full=full,
        reagent=best.reagent if best else None,
        sample=best.sample if best else None,
        gas_expected=best.gas_expected if best else None,
        limiting=best.limiting if best else None,
        p_reagent_limiting=best.p_reagent_limiting if best else None,
        lost=lost,
        # A closed vessel loses nothing, which is no yield of the reaction.
        yield_percent=None if is_closed else _yield(lost, usual, full, linearity_u),
        why_not_usual=why_not_usual,
        why_not_full=why_not_full,
    )


def _lost_as_read(full: FullRun, linearity_u: float) -> Estimate | None:
    """Return the mass lost of a run that the textbook leaves out; None if a mass is missing."""
    masses = {mass.reading: mass for mass in full.residuals if mass.reading in _LOST}
    if len(masses) < len(_LOST):
        return None
    liquid, sample, final = (masses[name].observed for name in _LOST)
    u = math.sqrt(linearity_u**2 + sum(mass.u**2 for mass in masses.values()))
    value = liquid + sample - final
    return Estimate(
        value=value, u=u, low=value - COVERAGE_95 * u, high=value + COVERAGE_95 * u, unit="g"
    )


def _yield(
    lost: Estimate | None, usual: RunAmounts | None, full: FullRun | None, linearity_u: float
) -> Estimate | None:
    if full is None:
        return usual.yield_percent if usual else None
    # Of gas that may as well be none, no share can be told: a cup without reagent or sample.
    if lost is None or not expects_gas(full.gas_expected):
        return None
    return yield_of(lost.value, full, linearity_u)


def yield_of(lost: float, full: FullRun, linearity_u: float) -> Estimate:
    """Return the mass lost over the gas that the model expects, in per cent.

    Parameters
    ----------
    lost : float, [g]
        As read.
    full : FullRun
        Of the same run.
    linearity_u : float, [g]
        Standard uncertainty of the mass lost that the balances' straight lines make.

    Notes
    -----
    The two are not independent: the fit has seen these very readings. An estimate by least squares
    is uncorrelated with the residuals, so cov(lost, expected) = cov(fitted loss, expected). With
    expected = fitted loss + correction that is half of var(fitted loss) + var(expected) -
    var(correction); the first is var(lost) less the variance of its residual, which the leverages
    of the three masses give, and the last is var(gas made) - var(lost). The three residuals are
    taken as moving together, which they nearly do: u comes out within 5 % of that by the whole
    covariance of the fit.
    """
    expected = full.gas_expected
    ratio = lost / expected.value
    masses = [residual for residual in full.residuals if residual.reading in _LOST]
    var_lost = linearity_u**2 + sum(mass.u**2 for mass in masses)
    covariance = 0.0
    if full.gas_full is not None:
        u_residual = sum(mass.u * math.sqrt(max(1.0 - mass.leverage, 0.0)) for mass in masses)
        var_fitted = max(var_lost - u_residual**2, 0.0)
        var_correction = max(full.gas_full.u**2 - var_lost, 0.0)
        covariance = max(0.5 * (var_fitted + expected.u**2 - var_correction), 0.0)
    variance = var_lost + (ratio * expected.u) ** 2 - 2.0 * ratio * covariance
    u = math.sqrt(max(variance, 0.0)) / expected.value
    return Estimate(
        value=100.0 * ratio,
        u=100.0 * u,
        low=100.0 * (ratio - COVERAGE_95 * u),
        high=100.0 * (ratio + COVERAGE_95 * u),
        unit="%",
    )
