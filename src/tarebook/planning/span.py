"""Where the equivalence point may lie, and how far a proposed row reaches to either side of it."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.parameters import Parameters, from_fit_scale
from tarebook.model.priors import PHYSICAL, central_parameters, priors
from tarebook.planning.contents import ContentRange
from tarebook.series.experiment import Experiment

ON_EACH_SIDE = 2
"""Runs that must lie on either side of the equivalence point, whatever the content in its range."""

COVERAGE = 3.0
"""A proposed row also reaches past what else is not known beforehand, liquid that stays behind
above all: by three times its u, so that hardly a class meets a row in which one reactant limits
in every cup, and with it no content at all."""


LEAST_PART = 1e-3
"""Of the stated strength of the stock: it is no less, however little is known of it."""


class Span(NamedTuple):
    """Readings of reagent between which the equivalence point may lie, [L]."""

    low: float
    high: float


def equivalence_range(experiment: Experiment, contents: ContentRange) -> Span:
    """Return the equivalence readings of the lowest and the highest content."""
    ends = np.array([contents.low, contents.high])
    middle = central_parameters(experiment).with_values(content=ends)
    low, high = equivalence_reading(experiment, middle)
    return Span(float(low), float(high))


def spans(experiment: Experiment, contents: ContentRange) -> tuple[Span, ...]:
    """Return the spans that a proposed row is to reach beyond, the wider first.

    Where the ware and the total volume have no such row, one that serves every content will do.
    """
    return sure_range(experiment, contents), equivalence_range(experiment, contents)


def sure_range(experiment: Experiment, contents: ContentRange) -> Span:
    """Return where the equivalence point lies whatever is not known beforehand.

    The equivalence readings of the lowest and the highest content, farther apart by what strength,
    ware and the sample's own acid may move them: each by `COVERAGE` times its u, as far as that is
    possible, all together as the root of the sum of squares.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    """
    low, high = equivalence_range(experiment, contents)
    down = _moved(experiment, contents.low) - low
    up = _moved(experiment, contents.high) - high
    below = np.minimum(down, 0.0).min(axis=1)
    above = np.maximum(up, 0.0).max(axis=1)
    return Span(low - math.hypot(*below), high + math.hypot(*above))


def _moved(experiment: Experiment, content: float) -> FloatArray:
    """Return the equivalence readings with one parameter at a time at the ends of its range.

    Returns
    -------
    ndarray, shape (n, 2), [L]
        Of the parameters of which something is known beforehand, low and high.
    """
    unsure = [one for one in priors(experiment) if math.isfinite(one.u)]
    ends = COVERAGE * np.array([-1.0, 1.0])
    values = {one.name: np.full((len(unsure), 2), one.centre) for one in priors(experiment)}
    values["content"][:] = content
    # A stock of which hardly anything is known may be so weak that no row reaches far enough.
    ranges = PHYSICAL | {
        "concentration": (LEAST_PART * experiment.reagent.concentration.value, math.inf)
    }
    for row, one in enumerate(unsure):
        possible = ranges.get(one.name, (-math.inf, math.inf))
        moved = from_fit_scale(one.name, one.fit_centre + ends * one.u)
        values[one.name][row] = np.clip(moved, *possible)
    return equivalence_reading(experiment, Parameters(**values))
