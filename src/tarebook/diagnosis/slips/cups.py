"""A cup's readings held against the forward model: two differences and what moves them.

Six readings of a run and four unknowns of its own leave two numbers that say whether they agree:

- *liquid*: what the liquid weighs less what its volumes should weigh;
- *gas*: what was lost between the second and the last weighing less what should have been lost.

Every slip in a run shows in these two or not at all. Cups are evaluated in one call of the model,
however many: those of a series, or the same cup under hundreds of hypotheses.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.chemistry.equilibrium.acids import equilibrium_table
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.units import kelvin
from tarebook.model.contents import Portions, pour
from tarebook.model.cup import cup_state
from tarebook.model.cup_chemistry import cup_chemistry
from tarebook.model.linear import moved, quotients
from tarebook.model.observables import Seen, solid_buoyancy
from tarebook.model.parameters import NAMES, parameters_at
from tarebook.model.priors import correlation_root
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import LINEAR, N_SHARED, READ, JointProblem
from tarebook.series.experiment import Experiment

REAGENT, DILUENT, TARE, LIQUID, SAMPLE, FINAL = (
    READ.index(quantity)
    for quantity in (
        Quantity.REAGENT,
        Quantity.DILUENT,
        Quantity.TARE,
        Quantity.LIQUID,
        Quantity.SAMPLE,
        Quantity.FINAL,
    )
)
LIQUID_GAP, GAS_GAP = 0, 1
"""Places of the two differences."""

MASS_MOVES: Final = {
    TARE: np.array([-1.0, 0.0]),
    LIQUID: np.array([1.0, 1.0]),
    FINAL: np.array([0.0, -1.0]),
}
"""What a gram more in one of these readings does to the two differences."""

N_NAMES: Final = len(NAMES)
VOLUMES_STEPS: Final = {REAGENT: 1e-5, DILUENT: 1e-5, SAMPLE: 1e-3}
"""Steps of a difference quotient in what a cup holds, [L] and [g]."""

MOST_AT_ONCE: Final = 600
"""Cups about which the model is asked in one call, so that memory stays within bounds."""

STEP = 1e-3
"""Of a difference quotient, in natural steps."""

NOTHING_KNOWN = 1e6
"""Variance of a difference that a missing reading leaves open, [g2]."""

CONTENT: Final = NAMES.index("content")
CONCENTRATION: Final = NAMES.index("concentration")
OWN_ACID: Final = NAMES.index("own_acid")
CONTENT_U = 0.3
"""Where nothing is known of the content: as good as nothing, but a number."""

MODEL_TEMPERATURES = (kelvin(6.0), kelvin(34.0))
"""Where the model is asked; what is written outside is an impossible reading."""

MOST_OF_TOTAL, LEAST_OF_TOTAL = 3.0, 0.3
MOST_OF_SAMPLE = 5.0
"""Contents for which the model is asked, in total volumes and largest masses asked for."""

SURELY = 1.1
"""By how much ions that nothing takes out again must be beyond the model's range to be sure that it
need not be asked: water and what is dissolved do not make up a litre to better than that."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cups:
    """Readings of k cups and how sure each is.

    Attributes
    ----------
    observed, u : ndarray, shape (6, k)
        In the order of `READ`, in memory units.
    taken : ndarray of bool, shape (6, k)
    temperature, minutes : ndarray, shape (k,)
    waited : ndarray of bool, shape (k,)
        Whether the minutes were read; elsewhere the definition's stand in.
    strength : ndarray, shape (k,), [1]
        Concentration of the reagent in this cup over that of the series.
    pours : ndarray, shape (2, k), [1]
        How often the ware of reagent and diluent is filled for this cup, once at least.
    sealed : ndarray of bool, shape (k,)
        Whether the vessel is closed, so that nothing leaves it.
    """

    observed: FloatArray
    u: FloatArray
    taken: BoolArray
    temperature: FloatArray
    minutes: FloatArray
    waited: BoolArray
    strength: FloatArray
    pours: FloatArray
    sealed: BoolArray

    @property
    def n(self) -> int:
        """Number of cups."""
        return int(self.observed.shape[1])

    @classmethod
    def joined(cls, many: Sequence[Cups]) -> Cups:
        """Return the cups of several sets, one after the other."""
        parts = {name: [getattr(each, name) for each in many] for name in cls.__slots__}
        return cls(**{name: np.concatenate(part, axis=-1) for name, part in parts.items()})

    def pick(self, where: FloatArray | list[int] | np.ndarray) -> Cups:
        """Return some of the cups, by index; an index may come more than once."""
        index = np.asarray(where, dtype=np.intp)
        return Cups(
            observed=self.observed[:, index].copy(),
            u=self.u[:, index].copy(),
            taken=self.taken[:, index].copy(),
            temperature=self.temperature[index].copy(),
            minutes=self.minutes[index].copy(),
            waited=self.waited[index].copy(),
            strength=self.strength[index].copy(),
            pours=self.pours[:, index].copy(),
            sealed=self.sealed[index].copy(),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Views:
    """What the model says of k cups.

    Attributes
    ----------
    gap : ndarray, shape (k, 2), [g]
        The two differences, found less expected; 0 where a reading is missing.
    by_shared : ndarray, shape (k, 2, 16)
        How much the expected value grows with each shared unknown, in natural steps of it.
    by_own : ndarray, shape (k, 2, 6)
        How much the difference grows with each reading, [g/L] and [g/g].
    own : ndarray, shape (k, 2, 2), [g2]
        Covariance that the readings' own errors give the differences.
    known : ndarray of bool, shape (k, 2)
    possible : ndarray of bool, shape (k,)
        Whether the model could be asked about exactly these contents. Where it could not, `gap` is
        that of other contents and judges nothing.
    """

    gap: FloatArray
    by_shared: FloatArray
    by_own: FloatArray
    own: FloatArray
    known: BoolArray
    possible: BoolArray

    def pick(self, where: FloatArray | list[int] | np.ndarray) -> Views:
        """Return some of the views, by index."""
        index = np.asarray(where, dtype=np.intp)
        return Views(**{name: getattr(self, name)[index] for name in Views.__slots__})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shared:
    """What is known of the shared unknowns beforehand, in natural steps from the centre.

    Attributes
    ----------
    centre, step : ndarray, shape (n,)
        The parameters on the scale of the fit, then the balances' linearity errors; the size of a
        natural step: the standard uncertainty.
    root : ndarray, shape (n, n)
        How steps of unit size, each independent, make steps that go together.
    """

    centre: FloatArray
    step: FloatArray
    root: FloatArray

    @property
    def factor(self) -> FloatArray:
        """What a unit step of each unknown does to all of them, shape (n, n)."""
        return self.step[:, None] * self.root

    @property
    def precision(self) -> FloatArray:
        """Inverse of the covariance of the steps: each is independent of the others."""
        return np.eye(len(self.step))

    def widened(self, place: int, spread: float, centre: float | None = None) -> Shared:
        """Return the same with one unknown known to a spread only, about its centre or another."""
        step, centres = self.step.copy(), self.centre.copy()
        step[place] = spread
        centres[place] = self.centre[place] if centre is None else centre
        return replace(self, centre=centres, step=step)


def shared_prior(problem: JointProblem) -> Shared:
    """Return the priors of a problem, the content's made finite."""
    widths = [CONTENT_U if np.isinf(prior.u) else prior.u for prior in problem.priors]
    centre = np.array([prior.fit_centre for prior in problem.priors] + [0.0] * len(LINEAR))
    step = np.concatenate([np.array(widths), problem.linearity_u])
    root = np.eye(len(step))
    root[: len(widths), : len(widths)] = correlation_root(problem.priors)
    return Shared(centre=centre, step=np.maximum(step, 1e-9), root=root)


def cups_of(problem: JointProblem) -> Cups:
    """Return the cups of a problem, one for each run."""
    return Cups(
        observed=problem.observed,
        u=np.where(np.isfinite(problem.u), problem.u, 0.0),
        taken=problem.taken,
        temperature=problem.temperature,
        minutes=problem.minutes,
        waited=problem.waited,
        strength=np.ones(problem.n_runs),
        # A number that was meant where nothing stands is at least one pour.
        pours=np.maximum(problem.pours, 1.0),
        sealed=problem.sealed,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """Cups about which the model is asked, and where the shared unknowns stand.

    Attributes
    ----------
    prior : Shared
    shared : ndarray, shape (16,) or (k, 16)
        Shared unknowns in natural steps from the centre.
    cups : Cups
    suspect : ndarray of bool, shape (k,), optional
        Cups beyond the model's range where it was asked before: likely they are again. They are
        then asked about apart, so that the others need not be sought out among them.
    """

    prior: Shared
    shared: FloatArray
    cups: Cups
    suspect: BoolArray | None = None


def view(experiment: Experiment, prior: Shared, shared: FloatArray, cups: Cups) -> Views:
    """Return the two differences of each cup and their slopes.

    Parameters
    ----------
    experiment : Experiment
    prior : Shared
    shared : ndarray, shape (16,) or (k, 16)
        Shared unknowns in natural steps from the centre.
    cups : Cups

    Raises
    ------
    OutOfRangeError
        If the model can be asked about none of the cups.
    """
    (found,) = views_together(experiment, [Asked(prior=prior, shared=shared, cups=cups)])
    if isinstance(found, OutOfRangeError):
        raise found
    return found


def views_together(
    experiment: Experiment, asked: Sequence[Asked]
) -> tuple[Views | OutOfRangeError, ...]:
    """Return the views of several sets of cups: in one call of the model, which costs as much.

    Parameters
    ----------
    experiment : Experiment
    asked : sequence of Asked

    Returns
    -------
    tuple of Views or OutOfRangeError
        One for each; the error where the model can be asked about none of its cups.
    """
    prepared = [_prepared(experiment, each) for each in asked]
    answers: list[Views | OutOfRangeError] = []
    while prepared:
        most, n = prepared[0].asked.cups.n, 1
        while n < len(prepared) and most + prepared[n].asked.cups.n <= MOST_AT_ONCE:
            most += prepared[n].asked.cups.n
            n += 1
        answers += _answered(experiment, prepared[:n])
        prepared = prepared[n:]
    return tuple(answers)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Prepared:
    """What the model is asked, with one small step in each unknown.

    Attributes
    ----------
    asked : Asked
    within : Cups
        With contents for which the model can be asked.
    possible, skipped, suspect : ndarray of bool, shape (k,)
        Which cups were so as read, which need not be asked about, and which are asked about apart.
    shared : ndarray, shape (k, 16)
    sets : ndarray, shape (m, k, n_names + 3)
        Parameters on the scale of the fit, then the readings of reagent, diluent and sample.
    """

    asked: Asked
    within: Cups
    possible: BoolArray
    skipped: BoolArray
    suspect: BoolArray
    shared: FloatArray
    sets: FloatArray


def _prepared(experiment: Experiment, asked: Asked) -> _Prepared:
    prior, k = asked.prior, asked.cups.n
    shared = np.broadcast_to(asked.shared, (k, N_SHARED))
    content, concentration = (
        prior.centre[i] + prior.step[i] * shared[:, i] for i in (CONTENT, CONCENTRATION)
    )
    within, possible = _within_model(experiment, asked.cups)
    factor, volumes = prior.factor[:N_NAMES, :N_NAMES], [*VOLUMES_STEPS]
    steps = np.zeros((N_NAMES + len(volumes), 1, N_NAMES + len(volumes)))
    steps[:N_NAMES, 0, :N_NAMES] = STEP * factor.T
    own = np.arange(N_NAMES, N_NAMES + len(volumes))
    steps[own, 0, own] = [*VOLUMES_STEPS.values()]
    point = np.concatenate(
        [(prior.centre + shared @ prior.factor.T)[:, :N_NAMES], within.observed[volumes].T], axis=1
    )
    sets = moved(point, steps)
    surely = _surely_beyond(experiment, content, concentration, within)
    return _Prepared(
        asked=asked,
        within=within,
        possible=possible,
        # Where all are beyond, the model says so itself.
        skipped=np.zeros(k, dtype=np.bool_) if surely.all() else surely,
        suspect=np.zeros(k, dtype=np.bool_) if asked.suspect is None else asked.suspect,
        shared=shared,
        sets=sets,
    )


def _answered(
    experiment: Experiment, prepared: Sequence[_Prepared]
) -> Iterator[Views | OutOfRangeError]:
    """Yield the views of sets of cups from one call of the model."""
    expected, errors = _expected_within(
        experiment,
        np.concatenate([each.sets for each in prepared], axis=1),
        Cups.joined([each.within for each in prepared]),
        np.concatenate([each.skipped for each in prepared]),
        np.concatenate([each.suspect for each in prepared]),
    )
    first = 0
    for each in prepared:
        own = slice(first, first + each.asked.cups.n)
        first = own.stop
        beyond = each.skipped | np.array([error is not None for error in errors[own]])
        failed = [error for error in errors[own] if error is not None]
        if failed and beyond.all():
            yield failed[-1]
            continue
        found = expected[:, own]
        # In place of cups beyond the model stands what it says of another one.
        found[:, beyond] = found[:, [int(np.argmin(beyond))]]
        yield _views(each, found, beyond)


def _views(prepared: _Prepared, expected: FloatArray, beyond: BoolArray) -> Views:
    """Return the views that go with what the weighings should differ by."""
    prior, cups, asked = prepared.asked.prior, prepared.asked.cups, prepared.within
    shared, k, n_names = prepared.shared, prepared.asked.cups.n, N_NAMES
    possible = prepared.possible & ~beyond
    widths = np.array([STEP] * n_names + [*VOLUMES_STEPS.values()])[:, np.newaxis, np.newaxis]
    slopes = quotients(expected, widths)
    by_shared = np.zeros((k, 2, N_SHARED))
    by_shared[:, :, :n_names] = np.moveaxis(slopes[:n_names], 0, -1)
    by_own = np.zeros((k, 2, len(READ)))
    for i, row in enumerate(VOLUMES_STEPS):
        by_own[:, :, row] = -slopes[n_names + i]
    for row, move in MASS_MOVES.items():
        by_own[:, :, row] = move
    # Linearity: of the empty vessel, of the last weighing, of the sample's balance.
    of_tare, of_final, of_sample = (n_names + LINEAR.index(READ[q]) for q in (TARE, FINAL, SAMPLE))
    by_shared[:, LIQUID_GAP, of_tare] = -prior.step[of_tare]
    by_shared[:, GAS_GAP, of_final] = -prior.step[of_final]
    observed = asked.observed
    # Into a blank cup no portion went that its balance could err about.
    portioned = (observed[SAMPLE] > 0.0)[:, None]
    by_shared[:, :, of_sample] = by_own[:, :, SAMPLE] * prior.step[of_sample] * portioned
    found = np.stack(
        [observed[LIQUID] - observed[TARE], observed[LIQUID] - observed[FINAL]], axis=1
    )
    own = np.einsum("kaq,kbq,qk->kab", by_own, by_own, asked.u**2)
    known = np.stack(
        [cups.taken[LIQUID] & cups.taken[TARE], cups.taken[LIQUID] & cups.taken[FINAL]], axis=1
    )
    # The model knows nothing of the balances' linearity: what it adds is taken off here.
    linear = np.einsum("kas,ks->ka", by_shared[:, :, n_names:], shared[:, n_names:])
    gap = np.where(known, found - expected[0] - linear, 0.0)
    by_shared = np.where(known[:, :, None], by_shared, 0.0)
    by_own = np.where(known[:, :, None], by_own, 0.0)
    own = np.where(known[:, :, None] & known[:, None, :], own, 0.0)
    own[:, [0, 1], [0, 1]] += np.where(known, 0.0, NOTHING_KNOWN)
    return Views(
        gap=gap, by_shared=by_shared, by_own=by_own, own=own, known=known, possible=possible
    )


def _within_model(experiment: Experiment, cups: Cups) -> tuple[Cups, BoolArray]:
    """Return the cups with contents for which the model can be asked, and which were as read."""
    total = experiment.total_volume
    observed = cups.observed.copy()
    for row in (REAGENT, DILUENT):
        observed[row] = np.clip(observed[row], 0.0, MOST_OF_TOTAL * total)
    too_little = LEAST_OF_TOTAL * total - observed[REAGENT] - observed[DILUENT]
    observed[DILUENT] += np.maximum(too_little, 0.0)
    observed[SAMPLE] = np.clip(observed[SAMPLE], 0.0, MOST_OF_SAMPLE * largest_sample(experiment))
    temperature = np.clip(cups.temperature, *MODEL_TEMPERATURES)
    possible = np.all(observed == cups.observed, axis=0) & (temperature == cups.temperature)
    return replace(cups, observed=observed, temperature=temperature), possible


def largest_sample(experiment: Experiment) -> float:
    """Return the largest mass that the plan or the definition asks for, [g]."""
    asked = [run.sample for run in experiment.planned]
    return max(experiment.sample.nominal_mass, *asked)


def _surely_beyond(
    experiment: Experiment, content: FloatArray, concentration: FloatArray, cups: Cups
) -> BoolArray:
    """Return which cups hold more ions than the activity model can be asked about.

    Only ions that stay whatever happens are counted, so a cup that is not among these may still be
    beyond its range.
    """
    reaction = experiment.reaction
    chemistry = cup_chemistry(reaction)
    if chemistry is None:
        return np.zeros(cups.n, dtype=np.bool_)
    most = SURELY * float(equilibrium_table()["activity"]["limit"])
    volume = cups.observed[REAGENT] + cups.observed[DILUENT]
    analyte = content * cups.observed[SAMPLE] / reaction.analyte_molar_mass.value
    reagent = concentration * cups.strength * cups.observed[REAGENT]
    ions = abs(chemistry.reagent.charge) * reagent
    if chemistry.analyte.dissolves:
        ions = np.maximum(ions, abs(chemistry.analyte.charge) * analyte)
    beyond: BoolArray = ions > most * volume
    return beyond


def _expected_within(
    experiment: Experiment,
    sets: FloatArray,
    cups: Cups,
    skipped: BoolArray,
    suspect: BoolArray,
) -> tuple[FloatArray, list[OutOfRangeError | None]]:
    """Return what the weighings should differ by, and why a cup is beyond the model's range.

    What stands in place of cups that are skipped or beyond means nothing.
    """
    errors: list[OutOfRangeError | None] = [None] * cups.n
    expected = np.zeros((len(sets), cups.n, 2))
    parts = [np.flatnonzero(~skipped & suspect), np.flatnonzero(~skipped & ~suspect)]
    while parts:
        part = parts.pop()
        if not len(part):
            continue
        try:
            expected[:, part] = _expected(experiment, sets[:, part], cups.pick(part))
        except OutOfRangeError as error:
            beyond = _beyond(error, len(part))
            for cup in part[beyond]:
                errors[int(cup)] = error
            # Where nobody knows which it is, halves tell.
            left, half = part[~beyond], len(part) // 2 if not beyond.any() else 0
            parts += [left[:half], left[half:]]
    return expected, errors


def _beyond(error: OutOfRangeError, n: int) -> BoolArray:
    """Return which cups of a call are known to be those for which it failed."""
    if n == 1 or error.beyond is None or error.beyond.shape[-1] != n:
        return np.full(n, n == 1)
    return np.asarray(error.beyond.reshape(-1, n).any(axis=0), dtype=np.bool_)


def _expected(experiment: Experiment, sets: FloatArray, cups: Cups) -> FloatArray:
    """Return what the two weighings should differ by, shape (m, k, 2).

    Parameters
    ----------
    sets : ndarray, shape (m, k, n_names + 3)
        As in `_Prepared`.
    """
    parameters = parameters_at(sets[..., :N_NAMES])
    parameters = parameters.with_values(concentration=parameters.concentration * cups.strength)
    reagent, diluent, sample = np.moveaxis(sets[..., N_NAMES:], -1, 0)
    portions = Portions(
        reagent=reagent,
        diluent=diluent,
        fillings=cups.pours,
        sample=sample * solid_buoyancy(experiment.room),
        temperature=cups.temperature,
        minutes=cups.minutes,
        waited=cups.waited,
        sealed=cups.sealed,
    )
    inside = pour(portions, parameters)
    state = cup_state(experiment, parameters, inside)
    seen = Seen(experiment, parameters, inside, np.zeros(cups.n), state)
    liquid = seen.of(Quantity.LIQUID)
    return np.stack([liquid, liquid - seen.of(Quantity.FINAL)], axis=-1)
