"""How much of a planted slip can be seen at all: worked out from the clean series alone.

Nothing here knows what the check will say of the series with the slip.
"""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import chain

import numpy as np
from scripts.study_slips.series import Planted

from tarebook.diagnosis.slips.case import case_of
from tarebook.diagnosis.slips.cups import Views, cups_of, view
from tarebook.diagnosis.slips.hypotheses import Hypothesis, hypotheses
from tarebook.diagnosis.slips.kinds import NOT_TOLD_APART, SlipKind
from tarebook.diagnosis.slips.likelihood import rest_without
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.series import SeriesWeights, weigh_series
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import Quantity, RunTable, memory_value
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.series.experiment import Experiment

HIDDEN = 3.0
"""Standard uncertainties below which a change of the liquid's mass does not show."""

NEAR = 3.0
"""Standard uncertainties within which two proposed numbers are as good as one."""

RARE = 0.1
"""Share of a slip's own chance from which another kind that proposes as much competes with it."""

BY_KIND = frozenset(chain.from_iterable(NOT_TOLD_APART))
"""Kinds that the readings alone cannot tell from another one, whatever their size."""

WEIGHINGS = frozenset({Quantity.LIQUID, Quantity.FINAL, Quantity.SAMPLE})
"""Weighings whose errors all show in the gas; that with liquid in the liquid too, if it is
large."""


def seen_clean(of: Experiment, clean: RunTable) -> SeriesWeights:
    """Return a clean series with what its runs say of one another."""
    weights = weigh_series(of, clean, default_odds(), may_shift=False)
    if weights is None:
        raise ValueError("a simulated series without readings")
    return weights


def _views(weights: SeriesWeights, table: RunTable) -> Views:
    """Return the two differences of each run of a table, as the clean series would have them."""
    of, fit = weights.experiment, weights.fit
    cups = cups_of(joint_problem(of, table, table.runs, ALL_EFFECTS))
    return view(of, fit.prior, fit.shared, cups)


def effect(weights: SeriesWeights, table: RunTable) -> float:
    """Return by how many u a slip moves what the readings of its runs agree about.

    The u is that of the two differences as the other runs, clean, foresee them.
    """
    fit, views = weights.fit, _views(weights, table)
    total = 0.0
    for i in range(fit.cups.n):
        change = views.gap[i] - fit.views.gap[i]
        if change.any():
            _, spread = rest_without(fit, [i]).gaps(views.pick([i]))
            total += float(change @ np.linalg.solve(spread[0], change))
    return math.sqrt(total)


def shows_in_gas_alone(weights: SeriesWeights, table: RunTable, planted: Planted) -> bool:
    """Return whether a slip in a weighing moves the liquid's mass by less than 3 u."""
    if not WEIGHINGS & set(planted.quantities) or len(planted.runs) > 1:
        return False
    index = weights.table.runs.index(planted.runs[0])
    after = _views(weights, table).pick([index])
    _, spread = rest_without(weights.fit, [index]).gaps(after)
    shift = float(after.gap[0, 0] - weights.fit.views.gap[index, 0])
    return abs(shift) < HIDDEN * math.sqrt(float(spread[0, 0, 0]))


def number_is_telling(weights: SeriesWeights, table: RunTable, planted: Planted) -> bool:
    """Return whether no other kind proposes, with a tenth of the chance, a number within 3 u.

    Parameters
    ----------
    weights : SeriesWeights
        Of the clean series.
    table : RunTable
        With the slip.
    planted : Planted
    """
    if not planted.truth or len(planted.runs) > 1:
        return True
    of, fit, runs = weights.experiment, weights.fit, weights.table.runs
    index, quantity = runs.index(planted.runs[0]), planted.quantities[0]
    row = READ.index(quantity)
    truth = memory_value(quantity, float(planted.truth))
    case = case_of(of, table, default_odds(), weights.habits, runs, index)
    proposed = [(h, _proposed(h, row)) for h in hypotheses(case)]
    own = [
        h.rate
        for h, value in proposed
        if h.kind is planted.kind and value is not None and abs(value - truth) < 1e-9
    ]
    if not own:
        # The table does not know this size of the slip: that is its fault, not the number's.
        return True
    one = fit.views.pick([index])
    _, spread = rest_without(fit, [index]).gaps(one)
    move = one.by_own[0, :, row]
    u = 1.0 / math.sqrt(max(float(move @ np.linalg.solve(spread[0], move)), 1e-30))
    near: dict[SlipKind, float] = defaultdict(float)
    for h, value in proposed:
        if h.kind is not planted.kind and value is not None and abs(value - truth) < NEAR * u:
            near[h.kind] += h.rate
    return max(near.values(), default=0.0) < RARE * max(own)


def _proposed(hypothesis: Hypothesis, row: int) -> float | None:
    return dict(hypothesis.cup).get(row) if hypothesis.meant else None
