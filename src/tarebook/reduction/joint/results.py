"""What the joint fit finds: values only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate, Source
from tarebook.reduction.results import BudgetShare, ClaimComparison, Reactant

IntervalMethod: TypeAlias = Literal["linear", "profile"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingResidual:
    """One reading beside what the model expects of it.

    Attributes
    ----------
    reading : str
        Column of `readings.csv`.
    observed, expected, u : float, [g] or [L]
        `u` is the standard uncertainty that the reading has of its own.
    standardised : float, [1]
        (observed - expected) / u, over the root of 1 - leverage: about normal with unit variance.
    leverage : float, [1]
        How far the fitted value follows this reading: 1 if nothing else speaks of it.
    """

    reading: str
    observed: float
    expected: float
    u: float
    standardised: float
    leverage: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FullRun:
    """One run as the model of the cup sees it.

    Attributes
    ----------
    run : str
    reagent, sample : Estimate, [mol]
        Delivered reagent; analyte in the sample.
    limiting : {"reagent", "sample"}
        By the equation, the sample's own acid counted with the reagent.
    p_reagent_limiting : float, [1]
    gas_full : Estimate or None, [g]
        Gas made: the mass lost, corrected for all effects. None where a mass was not read.
    gas_expected : Estimate, [g]
        What the limiting reactant gives by the equation.
    retained : Estimate, [g]
        Gas made but still dissolved or lying in the vessel at the last weighing.
    dissolved, head_gas, vapour, evaporated : float, [g]
    ph : Estimate or None, [1]
        None where no equilibrium is known for the reaction.
    extrapolated : bool
        Whether the activity model is beyond its range in this vessel.
    residuals : tuple of ReadingResidual
    """

    run: str
    reagent: Estimate
    sample: Estimate
    limiting: Reactant
    p_reagent_limiting: float
    gas_full: Estimate | None
    gas_expected: Estimate
    retained: Estimate
    dissolved: float
    head_gas: float
    vapour: float
    evaporated: float
    ph: Estimate | None
    extrapolated: bool
    residuals: tuple[ReadingResidual, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ParameterEstimate:
    """One parameter before and after the readings.

    Attributes
    ----------
    name : str
    value : Estimate
        In the unit of the parameter; its interval is that of the scale it is fitted on.
    prior : float
    prior_u : float
        Relative or on the logit where the parameter is fitted so; infinite where nothing was known.
    learned : float, [1]
        Part of the prior variance that the readings took away: 0 nothing, 1 all.
    source : Source
        Of the prior.
    pull : float, [1]
        Value less prior over `prior_u`, on the scale of the fit; 0 where nothing was known.
    acts : bool
        Whether any reading of the row depends on it at all.
    """

    name: str
    value: Estimate
    prior: float
    prior_u: float
    learned: float
    source: Source
    pull: float = 0.0
    acts: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Confounded:
    """Two parameters that the readings cannot tell apart.

    Attributes
    ----------
    first, second : str
    correlation : float, [1]
        That the readings alone give the two, without what was known of either beforehand.
    """

    first: str
    second: str
    correlation: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingReading:
    """A reading that was not taken, and what that costs.

    Attributes
    ----------
    run : str
    reading : str
        Column of `readings.csv`.
    u_if_taken : float, [g/g]
        Standard uncertainty that the content would have with this one reading more.
    """

    run: str
    reading: str
    u_if_taken: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterfallStep:
    """The content when one more effect is taken into account.

    Attributes
    ----------
    label : str
        The effect switched on at this step; the first is the textbook calculation.
    content : float, [g/g]
        With it and all before it.
    change : float, [g/g]
        From the step before.
    """

    label: str
    content: float
    change: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPoint:
    """The model's curve at one place along the row.

    Attributes
    ----------
    reagent : float, [L]
    sample : float, [g]
        What grows along the row; the other one is the same at all points.
    lost, low, high : float, [g]
        Mass expected to be lost, with the 95 % band of the fitted curve.
    ph : float or None, [1]
    """

    reagent: float
    sample: float
    lost: float
    low: float
    high: float
    ph: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FullSeries:
    """The whole series by the model of the cup.

    Attributes
    ----------
    sample_mass_fraction : Estimate, [g/g]
    equivalence : Estimate, [L]
        Reagent reading at which both reactants are just used up, for the nominal sample mass.
    equivalence_sample : Estimate or None, [g]
        Sample at which the reagent of a cup is just used up; None where the reagent grows.
    own_acid : Estimate, [mol/g]
    hold_up : Estimate, [L]
        Left behind at each pour of the reagent.
    hold_up_diluent : Estimate, [L]
    chi2, dof : float, int
        Sum of squares of readings and priors over their u, and its degrees of freedom.
    p_chi2 : float, [1]
        Chance of a larger chi2 if model and uncertainties are right.
    interval_method : {"linear", "profile"}
        How the interval of the content was found; profile where the linear one is poor.
    parameters : tuple of ParameterEstimate
    confounded : tuple of Confounded
        Pairs that the readings cannot tell apart; their values rest on what went in.
    uninformed : tuple of str
        Parameters of which the readings say nothing; their values are what went in.
    assumptions : tuple of Phrase
        What the model takes for granted about this reaction and cannot test, in sentences.
    missing : tuple of MissingReading
        The dearest first.
    budget : tuple of BudgetShare
    claim : ClaimComparison or None
    waterfall : tuple of WaterfallStep
        From the textbook calculation to this result; empty where no pictures were asked for.
    band : tuple of BandPoint
    """

    sample_mass_fraction: Estimate
    equivalence: Estimate
    equivalence_sample: Estimate | None
    own_acid: Estimate
    hold_up: Estimate
    hold_up_diluent: Estimate
    chi2: float
    dof: int
    p_chi2: float
    interval_method: IntervalMethod
    parameters: tuple[ParameterEstimate, ...]
    confounded: tuple[Confounded, ...]
    uninformed: tuple[str, ...]
    assumptions: tuple[Phrase, ...]
    missing: tuple[MissingReading, ...]
    budget: tuple[BudgetShare, ...]
    claim: ClaimComparison | None
    waterfall: tuple[WaterfallStep, ...]
    band: tuple[BandPoint, ...]

    @property
    def meets_at(self) -> Estimate:
        """Where both are used up, as the row's axis has it: [L] of reagent, or [g] of sample."""
        return self.equivalence_sample or self.equivalence


@dataclass(frozen=True, slots=True, kw_only=True)
class BeyondModel:
    """A cup outside the range for which the model holds.

    Attributes
    ----------
    run : str
    error : OutOfRangeError
        What is outside which range.
    """

    run: str
    error: OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class FullReduction:
    """The joint fit of a series.

    Attributes
    ----------
    runs : tuple of FullRun
        Those that the fit used; none where there is no result.
    series : FullSeries or None
    no_series_because : Phrase or None
        Why there is none.
    rejected : FullSeries or None
        A fit that the readings rule out: evidence of what is wrong, and never a result.
    rejected_runs : tuple of FullRun
        The runs of that fit.
    is_withheld : bool
        Whether the row has been shown not to be relied on: the textbook calculation is then no
        answer either.
    is_open : bool
        Whether that is because the readings do not determine the content.
    gas_is_hidden : bool
        Whether that in turn is because as much water was lost as gas.
    beyond : tuple of BeyondModel
        Cups that the fit leaves out because the model does not hold for them.
    """

    runs: tuple[FullRun, ...]
    series: FullSeries | None
    no_series_because: Phrase | None
    rejected: FullSeries | None = None
    rejected_runs: tuple[FullRun, ...] = ()
    is_withheld: bool = False
    is_open: bool = False
    gas_is_hidden: bool = False
    beyond: tuple[BeyondModel, ...] = ()
