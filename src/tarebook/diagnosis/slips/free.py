"""Slips of free size: the best size of each, and how much of its range fits.

References
----------
.. [1] D. J. C. MacKay, Information Theory, Inference and Learning Algorithms, 2003, chapter 28: the
   evidence of a hypothesis with a free size is its best fit times the part of its range that fits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.case import Case, refresh_u, step_of
from tarebook.diagnosis.slips.cups import (
    CONCENTRATION,
    DILUENT,
    FINAL,
    LIQUID,
    MASS_MOVES,
    REAGENT,
    SAMPLE,
    TARE,
    Views,
    view,
)
from tarebook.diagnosis.slips.habits import HABITUAL
from tarebook.diagnosis.slips.hypotheses import Hypothesis, Law
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.likelihood import (
    IMPOSSIBLE,
    LOG_2PI,
    Rest,
    log_chances,
    log_likelihood,
    misfits,
    squares,
)
from tarebook.diagnosis.slips.shared import SharedFit

STRENGTH_SPREAD: Final = 0.7
"""Of the logarithm of a wrong strength over the right one: half and double are usual."""

USUALLY_LOST: Final = 0.5
"""Mean of what splashes out, [g]: assumption."""

STILL_COMING: Final = 0.15
"""Mean part of the gas that is still to come when a fizzing cup is weighed: assumption."""

LARGEST_LOST_PART: Final = 0.8
LARGEST_MASS: Final = 50.0
"""Largest offset of a balance and of an error we do not know, [g]."""

NEWTON_STEPS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """A slip of free size at its best size.

    Attributes
    ----------
    log_mass : float
        Logarithm of likelihood and expectation together, summed over all sizes.
    value : float
        The true reading, or the logarithm of the strength.
    misfit : float, [1]
    """

    log_mass: float
    value: float
    misfit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    """One expectation under which a size is looked for: centre, spread (inf for flat), weight."""

    hypothesis: Hypothesis
    centre: float
    spread: float
    weight: float

    @property
    def precision(self) -> float:
        return self.spread**-2 if math.isfinite(self.spread) else 0.0


def best_sizes(
    case: Case, fit: SharedFit, rest: Rest, as_read: Views, free: Sequence[Hypothesis]
) -> list[Sized]:
    """Return each slip of free size at its best.

    Parameters
    ----------
    case : Case
    fit : SharedFit
    rest : Rest
        What the other runs say.
    as_read : Views
        Of the run, k = 1.
    free : sequence of Hypothesis
    """
    searches = [search for hypothesis in free for search in _searches(case, hypothesis)]
    curved = [s for s in searches if not _is_straight(s.hypothesis)]
    found = dict(zip(map(id, curved), _curved(case, fit, rest, curved), strict=True))
    sized: list[Sized] = []
    for hypothesis in free:
        parts = []
        for search in (s for s in searches if s.hypothesis is hypothesis):
            best = found.get(id(search)) or _straight(case, rest, as_read, search)
            log = best.log_mass + math.log(search.weight) + _log_size(case, hypothesis, best.value)
            parts.append(Sized(log_mass=log, value=best.value, misfit=best.misfit))
        first = max(parts, key=lambda part: part.log_mass)
        log = float(np.logaddexp.reduce([part.log_mass for part in parts]))
        sized.append(Sized(log_mass=log, value=first.value, misfit=first.misfit))
    return sized


def is_meant(hypothesis: Hypothesis) -> bool:
    """Return whether the true value is what people meant to read, so that habits speak of it."""
    return hypothesis.law in (Law.ANY, Law.REPLACED) and hypothesis.free in HABITUAL


def _is_straight(hypothesis: Hypothesis) -> bool:
    return hypothesis.law is not Law.STRENGTH and hypothesis.free in MASS_MOVES


def _searches(case: Case, hypothesis: Hypothesis) -> list[_Search]:
    row, habits = hypothesis.free, case.habits

    def search(centre: float, spread: float, weight: float) -> _Search:
        return _Search(hypothesis=hypothesis, centre=centre, spread=spread, weight=weight)

    if hypothesis.law is Law.STRENGTH:
        return [search(0.0, STRENGTH_SPREAD, 1.0)]
    if not is_meant(hypothesis):
        return [search(case.values[row], math.inf, 1.0)]
    wide, spread = float(habits.wide[row]), float(habits.spread[row, case.index])
    if not math.isfinite(spread):
        return [search(case.values[row], math.inf, 1.0 / wide)]
    centre = float(habits.centre[row, case.index])
    if hypothesis.kind is SlipKind.TARGET_WRITTEN and row in (REAGENT, DILUENT):
        # Who does not look at the scale does not pour as the others do.
        spread = max(spread, habits.rough_pour)
    return [
        search(centre, spread, 1.0 - habits.free_share),
        search(centre, math.inf, habits.free_share / wide),
    ]


def _finish(log: float, curvature: float, value: float, misfit: float, search: _Search) -> Sized:
    """Return the best size with its mass: likelihood times expectation, times the width."""
    log += 0.5 * (LOG_2PI - math.log(curvature))
    if math.isfinite(search.spread):
        z = (value - search.centre) / search.spread
        log -= 0.5 * (LOG_2PI + z**2) + math.log(search.spread)
    return Sized(log_mass=log, value=value, misfit=misfit)


def _straight(case: Case, rest: Rest, as_read: Views, search: _Search) -> Sized:
    """Return the best value of a mass, on which the differences depend in a straight line."""
    row = search.hypothesis.free
    gap, covariance = rest.gaps(as_read)
    move = as_read.by_own[0, :, row]
    weight = np.linalg.inv(covariance[0])
    curvature = max(float(move @ weight @ move) + search.precision, LARGEST_MASS**-2)
    pull = -float(move @ weight @ gap[0])
    if search.precision:
        pull += (search.centre - case.values[row]) * search.precision
    size = pull / curvature
    left = gap + move * size
    log, misfit = float(log_likelihood(left, covariance)[0]), float(squares(left, covariance)[0])
    # Another mass leaves what cannot be in the cup as impossible as it was.
    if not bool(as_read.possible[0]):
        log, misfit = IMPOSSIBLE, math.inf
    return _finish(log, curvature, case.values[row] + size, misfit, search)


def _curved(case: Case, fit: SharedFit, rest: Rest, searches: Sequence[_Search]) -> list[Sized]:
    """Return the best volume, sample or strength: on these the differences depend in a curve."""
    tried = [(s, start) for s in searches for start in _starts(case, s)]
    if not tried:
        return []
    value = np.array([start for _, start in tried])
    strength = np.array([s.hypothesis.law is Law.STRENGTH for s, _ in tried])
    rows = np.array([s.hypothesis.free for s, _ in tried])
    centre = np.array([s.centre for s, _ in tried])
    precision = np.array([s.precision for s, _ in tried])
    low, high = np.where(strength, -3.0, 0.0), np.where(strength, 3.0, np.inf)
    many = np.arange(len(tried))
    wide = np.where(strength, STRENGTH_SPREAD, case.habits.wide[rows])
    for step in range(NEWTON_STEPS + 1):
        cups = fit.cups.pick([case.index] * len(tried))
        cups.strength[strength] = np.exp(value[strength])
        cups.observed[rows[~strength], many[~strength]] = value[~strength]
        refresh_u(case, cups)
        views = view(case.experiment, fit.prior, fit.shared, cups)
        gap, covariance = rest.gaps(views)
        move = np.where(strength[:, None], _by_strength(fit, views), views.by_own[many, :, rows])
        weight = np.linalg.inv(covariance)
        curvature = np.einsum("ka,kab,kb->k", move, weight, move) + precision
        # What hardly shows is no better known for it: never wider than its own range.
        curvature = np.maximum(curvature, wide**-2)
        if step < NEWTON_STEPS:
            pull = -np.einsum("ka,kab,kb->k", move, weight, gap) + (centre - value) * precision
            value = np.clip(value + pull / curvature, low, high)
    log, square = log_chances(rest, views), misfits(rest, views)
    ends = [
        _finish(float(log[i]), float(curvature[i]), float(value[i]), float(square[i]), search)
        for i, (search, _) in enumerate(tried)
    ]
    return [
        max((end for end, (s, _) in zip(ends, tried, strict=True) if s is search), key=_log_mass)
        for search in searches
    ]


def _log_mass(sized: Sized) -> float:
    return sized.log_mass


def _starts(case: Case, search: _Search) -> tuple[float, ...]:
    if search.hypothesis.law is Law.STRENGTH:
        return (-1.0, 0.0, 1.0)
    written, usual = case.values[search.hypothesis.free], search.centre
    return (written, usual, 0.5 * (written + usual))


def _by_strength(fit: SharedFit, views: Views) -> FloatArray:
    """Return the slopes with the logarithm of one cup's strength: those of the concentration."""
    width = fit.prior.step[CONCENTRATION]
    own = fit.prior.centre[CONCENTRATION] + width * fit.shared[CONCENTRATION]
    slopes: FloatArray = -views.by_shared[:, :, CONCENTRATION] / width * own
    return slopes


def _log_size(case: Case, hypothesis: Hypothesis, value: float) -> float:
    """Return the logarithm of the density of writing what was written for this true value."""
    row, law = hypothesis.free, hypothesis.law
    step = step_of(case.experiment, row)
    if law is Law.STRENGTH:
        return 0.0
    off = case.values[row] - value
    if law is Law.REPLACED:
        return -math.log(step)
    if law is Law.ANY:
        wide = max(case.values[row], float(case.habits.wide[row]))
        most = LARGEST_MASS if row in (TARE, LIQUID, FINAL) else wide
        size = min(max(abs(off), 3.0 * step), most)
        # What is as small as the steps of the scale is no slip.
        small = 0.0 if abs(off) >= 3.0 * step else -2.0
        return small - math.log(2.0 * size * math.log(most / (3.0 * step)))
    if law is Law.PART:
        part = off / case.values[row]
        if not 0.0 < part < LARGEST_LOST_PART:
            return IMPOSSIBLE
        return -math.log(LARGEST_LOST_PART * case.values[row])
    mean = USUALLY_LOST if law is Law.LOST else STILL_COMING * _gas(case)
    if mean <= 0.0:
        return IMPOSSIBLE
    lost = -off if law is Law.LOST else off
    return -lost / mean - math.log(mean) if lost > 0 else IMPOSSIBLE


def _gas(case: Case) -> float:
    """Return about how much gas the run's portion of sample can give, [g]."""
    reaction = case.experiment.reaction
    portion = case.values.get(SAMPLE, case.experiment.sample_asked(case.run))
    per_gram = reaction.gas_coefficient / reaction.analyte_coefficient / reaction.mass_ratio.value
    return per_gram * max(portion, 0.0)
