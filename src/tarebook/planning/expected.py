"""What to expect of a row before anything is poured: the curve with its band, run by run."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.quantity import Estimate
from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT
from tarebook.measurement.weighing import mass_loss_u
from tarebook.model.contents import planned_portions, pour
from tarebook.model.cup import PASCAL_LITRES, CupState, cup_state
from tarebook.model.equivalence import equivalence_mass, equivalence_reading
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters, drawn_parameters
from tarebook.planning.changes import row_of, samples_of, sealed_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.information import within_model
from tarebook.series.experiment import Experiment

N_DRAWS = 400
CURVE_POINTS = 61
PERCENT = (2.5, 97.5)
"""Ends of the bands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """The expected mass lost at one reagent reading and sample, with its 95 % band."""

    reagent: float
    sample: float
    lost: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedRun:
    """What one planned run should show.

    Attributes
    ----------
    run : str
    reagent, diluent : float, [L]
    lost : Estimate, [g]
        Mass lost; its u and interval are what is not known beforehand, above all the content.
    lost_u : float, [g]
        Standard uncertainty with which the balances resolve it.
    p_reagent_limiting : float, [1]
        Chance that the reagent limits, over all that is not known beforehand.
    ph : float
    gas : float, [L]
        Volume of gas released, at room temperature and pressure.
    foam : float, [L]
        Rough volume of bubbles in the first moments.
    fill_height : float, [m]
        Of the liquid at rest, in a vessel with straight walls.
    undissolved : float, [g]
        Sample that the liquid could not dissolve if it did not react further; 0 where the
        solubility is not known or is enough.
    """

    run: str
    reagent: float
    diluent: float
    lost: Estimate
    lost_u: float
    p_reagent_limiting: float
    ph: float
    gas: float
    foam: float
    fill_height: float
    undissolved: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What to expect of a row.

    Attributes
    ----------
    runs : tuple of ExpectedRun
    curve : tuple of CurvePoint
    equivalence : Estimate, [L]
        Before anything is poured: its width is mostly that of the content.
    equivalence_sample : Estimate or None, [g]
        The same in a row in which the sample grows, as the sample that uses up the reagent of a
        cup; None in other rows, and where the sample's own acid may be enough for all of it.
    n_draws : int
        Draws of all that is not known beforehand, on which bands and chances rest.
    """

    runs: tuple[ExpectedRun, ...]
    curve: tuple[CurvePoint, ...]
    equivalence: Estimate
    equivalence_sample: Estimate | None
    n_draws: int


def expect(experiment: Experiment, contents: ContentRange, rng: np.random.Generator) -> Expected:
    """Return what to expect of the planned row.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    rng : numpy.random.Generator

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    row = row_of(experiment)
    along, masses = _along(experiment, contents)
    reading = np.concatenate([row, along])
    sample = np.concatenate([samples_of(experiment), masses])
    spread = drawn_parameters(experiment, rng, N_DRAWS)
    drawn_content = rng.uniform(contents.low, contents.high, (N_DRAWS, 1))
    drawn = spread.with_values(content=drawn_content)
    middle = central_parameters(experiment).with_values(content=np.array(contents.centre))
    sealed = np.concatenate([sealed_of(experiment), np.zeros(len(along), dtype=np.bool_)])
    states, lost = _lost(experiment, drawn, reading, sample, sealed)
    central, central_lost = _lost(experiment, middle, reading, sample, sealed)
    low, high = np.percentile(lost, PERCENT, axis=0)
    n = len(row)
    return Expected(
        runs=tuple(
            _run(experiment, contents, central, states, (lost, central_lost), index)
            for index in range(n)
        ),
        curve=tuple(
            CurvePoint(
                reagent=float(reading[i]),
                sample=float(sample[i]),
                lost=float(central_lost[i]),
                low=float(low[i]),
                high=float(high[i]),
            )
            for i in range(n, len(reading))
        ),
        equivalence=_spread(
            equivalence_reading(experiment, middle), equivalence_reading(experiment, drawn), "L"
        ),
        equivalence_sample=_equivalence_sample(experiment, middle, drawn),
        n_draws=N_DRAWS,
    )


def _equivalence_sample(
    experiment: Experiment, middle: Parameters, drawn: Parameters
) -> Estimate | None:
    """Return the sample that uses up the reagent of a cup; None where there is no such."""
    if experiment.grows == "reagent":
        return None
    masses = equivalence_mass(experiment, drawn)
    if not np.all(np.isfinite(masses)):
        return None
    return _spread(equivalence_mass(experiment, middle), masses, "g")


def _spread(middle: FloatArray, drawn: FloatArray, unit: str) -> Estimate:
    """Return a value with the spread of its draws."""
    low, high = np.percentile(drawn, PERCENT)
    return Estimate(
        value=float(middle), u=float(drawn.std()), low=float(low), high=float(high), unit=unit
    )


def _along(experiment: Experiment, contents: ContentRange) -> tuple[FloatArray, FloatArray]:
    """Return reagent readings and sample masses along the curve."""
    if experiment.grows == "sample":
        masses = np.linspace(0.0, float(samples_of(experiment).max()), CURVE_POINTS)
        return np.full(CURVE_POINTS, float(row_of(experiment).max())), masses
    along = np.linspace(0.0, experiment.total_volume, CURVE_POINTS)
    ends = np.array([contents.low, contents.high])
    along = np.linspace(0.0, _reach(along[: within_model(experiment, along, ends)]), CURVE_POINTS)
    return along, np.full(CURVE_POINTS, experiment.sample.nominal_mass)


def _reach(holds: FloatArray) -> float:
    """Return how far the curve is drawn: where the model ends, a margin before it for the draws."""
    if len(holds) == CURVE_POINTS:
        return float(holds[-1])
    return 0.9 * float(holds[-1]) if holds.size else 0.0


def expected_loss(experiment: Experiment, content: float) -> FloatArray:
    """Return the mass lost in each planned run at one content, shape (n,), [g]."""
    middle = central_parameters(experiment).with_values(content=np.array(content))
    return lost_as_planned(experiment, middle)[1]


def lost_as_planned(experiment: Experiment, parameters: Parameters) -> tuple[CupState, FloatArray]:
    """Return the state of the planned runs and the mass that a balance sees them lose, [g].

    Parameters
    ----------
    experiment : Experiment
    parameters : Parameters

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    row, sample = row_of(experiment), samples_of(experiment)
    return _lost(experiment, parameters, row, sample, sealed_of(experiment))


def _lost(
    experiment: Experiment,
    parameters: Parameters,
    reading: FloatArray,
    sample: FloatArray,
    sealed: BoolArray,
) -> tuple[CupState, FloatArray]:
    """Return the state of vessels and the mass that a balance sees them lose."""
    portions = replace(planned_portions(experiment, reading, sample), sealed=sealed)
    contents = pour(portions, parameters)
    state = cup_state(experiment, parameters, contents)
    seen = Seen(experiment, parameters, contents, np.zeros(len(reading)), state)
    return state, seen.lost


def _run(
    experiment: Experiment,
    contents: ContentRange,
    central: CupState,
    drawn: CupState,
    lost: tuple[FloatArray, FloatArray],
    index: int,
) -> ExpectedRun:
    planned, room, vessel = experiment.planned[index], experiment.room, experiment.vessel
    all_lost, middle = lost[0][:, index], float(lost[1][index])
    low, high = np.percentile(all_lost, PERCENT)
    moles = max(float(central.gas_released[index]), 0.0) / experiment.reaction.gas_molar_mass.value
    gas = moles * GAS_CONSTANT * room.temperature / room.pressure * PASCAL_LITRES
    equipment = experiment.equipment
    return ExpectedRun(
        run=planned.run,
        reagent=planned.reagent,
        diluent=planned.diluent,
        lost=Estimate(
            value=middle, u=float(all_lost.std()), low=float(low), high=float(high), unit="g"
        ),
        lost_u=mass_loss_u(equipment.balance, equipment.sample_balance),
        p_reagent_limiting=float(np.mean(drawn.excess[:, index] < 0.0)),
        ph=float(central.ph[index]),
        gas=gas,
        foam=foam_volume(gas),
        fill_height=vessel.height * experiment.total_volume / vessel.capacity,
        undissolved=_undissolved(experiment, contents, central, index),
    )


def foam_volume(gas: float) -> float:
    """Return the rough volume of bubbles that stand in the liquid at first, [L].

    Half of the gas comes within some seconds, and a bubble lives for a few: a rule of thumb, kept
    in `vessel.toml` with its basis.

    Parameters
    ----------
    gas : float, [L]
        All gas of the vessel.

    Examples
    --------
    >>> round(foam_volume(0.4), 3)
    0.08
    """
    rule = reference_table("tarebook.planning", "vessel")["foam"]
    return 0.5 * gas * float(rule["bubble_life_s"]) / float(rule["half_of_gas_s"])


def solubility(experiment: Experiment) -> float | None:
    """Return the solubility of the analyte, [g/g of water]; None if it is not known here."""
    from tarebook.chemistry.formula import parse_formula

    counts = frozenset(parse_formula(experiment.reaction.analyte).counts)
    for row in reference_table("tarebook.planning", "vessel")["solubility"]:
        if frozenset(parse_formula(row["formula"]).counts) == counts:
            return float(row["g_per_100_g"]) / 100.0
    return None


def _undissolved(
    experiment: Experiment, contents: ContentRange, central: CupState, index: int
) -> float:
    """Return the analyte left over that the liquid cannot hold, [g]."""
    limit = solubility(experiment)
    if limit is None:
        return 0.0
    reaction = experiment.reaction
    gas = float(central.gas_made[index]) / reaction.gas_molar_mass.value
    used = gas / reaction.gas_coefficient * reaction.analyte_coefficient
    there = contents.centre * experiment.planned[index].sample
    left = there - used * reaction.analyte_molar_mass.value
    return max(left - limit * float(central.liquid[index]), 0.0)
