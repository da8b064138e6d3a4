"""What a reduction finds: values only, no text, no page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from tarebook.core.phrase import Phrase
from tarebook.core.quantity import COVERAGE_95, Estimate, Measured
from tarebook.reduction.changeover_results import ChangeoverFit
from tarebook.reduction.row_axis import RowAxis
from tarebook.reduction.shapes import ShapeFit

Reactant: TypeAlias = Literal["reagent", "sample"]


def expects_gas(gas: Estimate) -> bool:
    """Return whether gas is expected beyond doubt; else a yield has no meaning.

    Parameters
    ----------
    gas : Estimate
        The gas expected of a run.
    """
    return gas.value > COVERAGE_95 * gas.u and gas.value > 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAmounts:
    """The textbook calculation of one run.

    Attributes
    ----------
    run : str
    reagent, sample : Estimate, [mol]
        Amounts of the reagent species and of the analyte in the weighed sample.
    limiting : {"reagent", "sample"} or None
        The more probable one. None, as all that follows from it, where the row has been shown not
        to be relied on, so that nobody knows how much of the analyte there is.
    p_reagent_limiting : float or None, [1]
    gas_found : Estimate, [g]
        Mass lost.
    gas_expected : Estimate or None, [g]
        Mass of gas that the limiting reactant can give.
    yield_percent : Estimate or None, [%]
        gas_found / gas_expected.
        None for a run that expects no gas: without any acid, or with less than a carbonate takes up
        before it gives off any.
    yield_of_claim_percent : Estimate or None, [%]
        The same against the content that the label claims.
    not_in_fit : Phrase or None
        Why the two lines do not use this run; None if they do.
    """

    run: str
    reagent: Estimate
    sample: Estimate
    limiting: Reactant | None
    p_reagent_limiting: float | None
    gas_found: Estimate
    gas_expected: Estimate | None
    yield_percent: Estimate | None
    yield_of_claim_percent: Estimate | None
    not_in_fit: Phrase | None

    def without_content(self) -> RunAmounts:
        """Return the same without what follows from how much of the analyte there is."""
        return replace(
            self,
            limiting=None,
            p_reagent_limiting=None,
            gas_expected=None,
            yield_percent=None,
            yield_of_claim_percent=None,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A run whose readings allow no amounts, and why."""

    run: str
    why: Phrase


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """Runs that the lines through the row must not use, and why.

    Attributes
    ----------
    unusable : mapping of run to why
        A reading cannot be what it says: the run has no amounts.
    doubtful : mapping of run to why
        A reading is contradicted by another: the run's amounts are shown.
    """

    unusable: Mapping[str, Phrase]
    doubtful: Mapping[str, Phrase]


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """One run of the fit in the picture, with standard uncertainties.

    All is scaled to one portion of what stays the same in the row: to the nominal sample mass, or
    to the reagent that each cup asks for where the sample grows.

    Attributes
    ----------
    run : str
    grown, u_grown : float, [L] or [g]
        What grows: volume of the reagent, or mass of the sample.
    gas, u_gas : float, [g]
        Mass lost.
    fitted : float, [g]
        The two lines at this place.
    weight : float, [1]
        Of the run in the fit, in its units: 1 / variance of the mass lost per gram of sample, or
        for the reagent of a cup.
    """

    run: str
    grown: float
    u_grown: float
    gas: float
    u_gas: float
    fitted: float
    weight: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimComparison:
    """The content found beside the content claimed.

    Attributes
    ----------
    claimed : Measured, [g/g]
    found : Estimate, [g/g]
    difference : float, [g/g]
        Found minus claimed.
    u_difference : float, [g/g]
        Standard uncertainty of `difference`.
    how_many_u : float, [1]
        |difference| / u_difference.
    agrees : bool
        Whether `how_many_u` is at most 2.
    """

    claimed: Measured
    found: Estimate
    difference: float
    u_difference: float
    how_many_u: float
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetShare:
    """Part of the variance of the main result that one source of error makes."""

    source: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSeries:
    """The textbook calculation of the whole row.

    Attributes
    ----------
    axis : RowAxis
        What grows, and the portion of the other reactant that the curve is given for.
    fit : ChangeoverFit
        In L of reagent per g of sample against g of gas per g of sample; where the sample grows in
        g of sample against g of gas, for the reagent of a cup.
    nominal_mass : float, [g]
        Sample mass that `equivalence` is given for.
    sample_mass_fraction : Estimate, [g/g]
        From the plateau; where the sample grows, from the slope of the rising line.
    equivalence : Estimate, [L]
        Reagent volume at which both reactants are just used up.
    equivalence_sample : Estimate or None, [g]
        Sample at which the reagent of a cup is just used up; None where the reagent grows.
    content_from_equivalence : Estimate, [g/g]
        From there and the strength of the stock: independent of the height of the lines.
    birge : float, [1]
        Scatter about the two lines over what the instruments explain; the uncertainties above are
        multiplied by it if it is larger than 1.
    shapes : tuple of ShapeFit
        The two lines beside simpler curves, that which describes the row best first.
    """

    axis: RowAxis
    fit: ChangeoverFit
    nominal_mass: float
    sample_mass_fraction: Estimate
    equivalence: Estimate
    equivalence_sample: Estimate | None
    content_from_equivalence: Estimate
    birge: float
    budget: tuple[BudgetShare, ...]
    claim: ClaimComparison | None
    curve: tuple[CurvePoint, ...]
    shapes: tuple[ShapeFit, ...] = ()

    @property
    def meets_at(self) -> Estimate:
        """Where the lines meet, as the axis has it: [L] of reagent, or [g] of sample."""
        return self.equivalence_sample or self.equivalence


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualReduction:
    """The textbook calculation of a series of runs.

    Attributes
    ----------
    runs : tuple of RunAmounts
        Only those that have the readings for it.
    left_out : tuple of LeftOut
    axis : RowAxis
    series : UsualSeries or None
        None if the row shows no equivalence point, or has been shown not to be relied on;
        `no_series_because` says why.
    content_basis : {"found", "claimed", "pure"}
        The content with which `RunAmounts.sample` is computed.
    seed, draws : int
        Of the Monte Carlo.
    """

    runs: tuple[RunAmounts, ...]
    left_out: tuple[LeftOut, ...]
    axis: RowAxis
    series: UsualSeries | None
    no_series_because: Phrase | None
    content_basis: Literal["found", "claimed", "pure"]
    seed: int
    draws: int
