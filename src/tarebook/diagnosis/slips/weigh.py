"""The weight of each hypothesis about a run: how well it explains the readings, and how rare it is.

The evidence of a hypothesis is the chance of everything on the run's sheet if it is true: that the
readings without the slip agree with the other runs, that they are what people usually do, and that
the slip turns them into what was written.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.case import Case, refresh_u
from tarebook.diagnosis.slips.cups import DILUENT, REAGENT, SAMPLE, Cups, view
from tarebook.diagnosis.slips.free import best_sizes, is_meant
from tarebook.diagnosis.slips.habits import HABITUAL
from tarebook.diagnosis.slips.hypotheses import Hypothesis, Law, hypotheses, log_rate_of_none
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.likelihood import log_chances, misfits, rest_without
from tarebook.diagnosis.slips.shared import SharedFit
from tarebook.model.parameters import NAMES
from tarebook.reduction.joint.problem import READ

LIQUIDS: Final = ("reagent", "diluent")

CLEARLY: Final = 4.0
"""By how much the sum of squares must fall for an explanation to be worth saying: two u."""

FAR_FROM_USUAL: Final = 5.0
"""Spreads by which a reading misses its plan, from which the run's hypotheses are weighed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A hypothesis with its weight.

    Attributes
    ----------
    hypothesis : Hypothesis
    log_evidence : float
        Its prior rate included.
    misfit : float, [1]
        Sum of squares of the two differences that it leaves, over their covariance.
    value : float
        The reading that it proposes, memory units; nan where it proposes none.
    probability : float, [1]
    """

    hypothesis: Hypothesis
    log_evidence: float
    misfit: float
    value: float
    probability: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RunWeights:
    """All that may have happened in a run, the most probable first.

    Attributes
    ----------
    run : str
    log_evidence : float
        Of the run, whatever happened.
    misfit : float, [1]
        Sum of squares of the run's two differences as read: about 2 in a good run.
    probability_of_none : float, [1]
    weighed : tuple of Weighed
    """

    run: str
    log_evidence: float
    misfit: float
    probability_of_none: float
    weighed: tuple[Weighed, ...]

    def unless(self, something_else: float) -> RunWeights:
        """Return the same where, with this probability, something else explains all of it."""
        left = 1.0 - something_else
        return replace(
            self,
            probability_of_none=1.0 - left * (1.0 - self.probability_of_none),
            weighed=tuple(replace(w, probability=left * w.probability) for w in self.weighed),
        )


def log_habits(case: Case, values: dict[int, float]) -> float:
    """Return the logarithm of the density of what was meant to be done."""
    return sum(
        float(case.habits.log_density(row, case.index, np.array(value)))
        for row, value in values.items()
        if row in HABITUAL
    )


def weigh_run(case: Case, fit: SharedFit) -> RunWeights:
    """Return everything that may have happened in a run, weighed.

    Parameters
    ----------
    case : Case
    fit : SharedFit
        Of the whole series.
    """
    rest = rest_without(fit, [case.index])
    all_of_them = hypotheses(case)
    exact = [h for h in all_of_them if h.law is None]
    free = [h for h in all_of_them if h.law is not None]
    cups = changed_cups(case, fit, exact)
    views = view(case.experiment, fit.prior, fit.shared, cups)
    log, square = log_chances(rest, views), misfits(rest, views)
    usual = log_habits(case, case.values)
    none = log_rate_of_none(case.odds) + usual + float(log[0])
    change = _habit_changes(case, exact)
    weighed = [
        Weighed(
            hypothesis=h,
            log_evidence=math.log(h.rate) + usual + float(change[i]) + float(log[1 + i]),
            misfit=float(square[1 + i]),
            value=dict(h.cup).get(_row(h), math.nan) if h.meant else math.nan,
        )
        for i, h in enumerate(exact)
    ]
    as_read = views.pick([0])
    for h, size in zip(free, best_sizes(case, fit, rest, as_read, free), strict=True):
        habit = log_habits(case, {h.free: case.values[h.free]}) if is_meant(h) else 0.0
        proposes = h.law in (Law.ANY, Law.REPLACED)
        weighed.append(
            Weighed(
                hypothesis=h,
                log_evidence=math.log(h.rate) + usual - habit + size.log_mass,
                misfit=size.misfit,
                value=size.value if proposes else math.nan,
            )
        )
    as_it_stands = float(square[0])
    worth_saying = [w for w in weighed if is_clearly_better(case, w, as_it_stands)]
    return _normalised(case.run, none, as_it_stands, worth_saying)


def is_clearly_better(case: Case, weighed: Weighed, as_it_stands: float) -> bool:
    """Return whether a hypothesis fits clearly better than the readings as they stand.

    What does not is never proposed, however often such slips are made.

    Parameters
    ----------
    case : Case
    weighed : Weighed
    as_it_stands : float, [1]
        Misfit of the run as read; infinite for what cannot be in a cup.
    """
    if weighed.misfit <= as_it_stands - CLEARLY:
        return math.isfinite(weighed.misfit)
    # Before the masses are read, only what people usually do can speak against a number.
    hypothesis = weighed.hypothesis
    meant = [row for row, _ in hypothesis.habit]
    meant += [hypothesis.free] if is_meant(hypothesis) else []
    odd = (abs(case.habits.odd(row, case.index, case.values[row])) for row in meant)
    return weighed.misfit <= as_it_stands and any(far > FAR_FROM_USUAL for far in odd)


def _normalised(run: str, none: float, misfit: float, weighed: list[Weighed]) -> RunWeights:
    logs = np.array([none, *(w.log_evidence for w in weighed)])
    parts = np.exp(logs - logs.max())
    parts /= parts.sum()
    with_probability = [
        Weighed(
            hypothesis=w.hypothesis,
            log_evidence=w.log_evidence,
            misfit=w.misfit,
            value=w.value,
            probability=float(p),
        )
        for w, p in zip(weighed, parts[1:], strict=True)
    ]
    return RunWeights(
        run=run,
        log_evidence=float(np.logaddexp.reduce(logs)),
        misfit=misfit,
        probability_of_none=float(parts[0]),
        weighed=tuple(sorted(with_probability, key=lambda w: -w.probability)),
    )


def _row(hypothesis: Hypothesis) -> int:
    return READ.index(hypothesis.quantity) if hypothesis.quantity in READ else -1


def _habit_changes(case: Case, exact: list[Hypothesis]) -> FloatArray:
    """Return by how much more usual what was meant is than what was written, as logarithms."""
    change = np.zeros(len(exact))
    for row in HABITUAL:
        meant = {i: value for i, h in enumerate(exact) for r, value in h.habit if r == row}
        if meant:
            where, values = list(meant), np.array([*meant.values(), case.values[row]])
            log = case.habits.log_density(row, case.index, values)
            change[where] += log[:-1] - log[-1]
    return change


def changed_cups(case: Case, fit: SharedFit, exact: list[Hypothesis]) -> Cups:
    """Return the cup as read, then as each hypothesis would have it."""
    many = fit.cups.pick([case.index] * (1 + len(exact)))
    for i, hypothesis in enumerate(exact, start=1):
        for row, value in hypothesis.cup:
            many.observed[row, i] = value
        if hypothesis.temperature is not None:
            many.temperature[i] = hypothesis.temperature
        if hypothesis.minutes is not None:
            many.minutes[i], many.waited[i] = hypothesis.minutes, True
        if hypothesis.sample_u is not None:
            many.u[SAMPLE, i] = hypothesis.sample_u
    refresh_u(case, many)
    for i, hypothesis in enumerate(exact, start=1):
        if hypothesis.kind is SlipKind.LIQUIDS_EXCHANGED:
            other = _other_vessel_u(fit, many.observed[[REAGENT, DILUENT], i])
            many.u[[REAGENT, DILUENT], i] = np.hypot(many.u[[REAGENT, DILUENT], i], other)
    return many


def _other_vessel_u(fit: SharedFit, volumes: FloatArray) -> FloatArray:
    """Return how much less sure a volume is where it may have been measured in either vessel."""
    hold_up = [fit.prior.step[NAMES.index(f"hold_up_{liquid}")] for liquid in LIQUIDS]
    scale = [fit.prior.step[NAMES.index(f"scale_{liquid}")] for liquid in LIQUIDS]
    of_scale: FloatArray = volumes * math.hypot(*scale)
    return np.hypot(of_scale, math.hypot(*hold_up))
