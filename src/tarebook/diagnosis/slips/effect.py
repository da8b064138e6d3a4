"""What a doubtful reading does to the answer: as read, put right, left out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.diagnosis.slips.cups import Views, view
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.series import SeriesWeights
from tarebook.diagnosis.slips.shared import information
from tarebook.diagnosis.slips.weigh import Weighed, changed_cups
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ

WHOLE_CUP: Final = (Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID, Quantity.FINAL)

LEFT_OUT: Final = {
    SlipKind.LIQUIDS_EXCHANGED: WHOLE_CUP,
    SlipKind.VOLUMES_EXCHANGED: (Quantity.REAGENT, Quantity.DILUENT),
    SlipKind.OTHER_STOCK: WHOLE_CUP,
    SlipKind.SAMPLE_MISSING: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_TWICE: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_LOST: (Quantity.SAMPLE, Quantity.FINAL),
}
"""Readings that say nothing reliable after a slip, where it is more than the one that shows it."""


def left_out(kind: SlipKind, quantity: Quantity) -> tuple[Quantity, ...]:
    """Return the readings of a run that should not be used after a slip.

    Parameters
    ----------
    kind : SlipKind
    quantity : Quantity
        The reading in which it shows.
    """
    if kind is SlipKind.TARE_SUBTRACTED and quantity is Quantity.LIQUID:
        return (Quantity.LIQUID, Quantity.FINAL)
    return LEFT_OUT.get(kind, (quantity,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """The content with a reading as it is, put right and left out, [g/g].

    Attributes
    ----------
    as_read, put_right, without : float
        `put_right` is nan where no true value is proposed. The other doubtful runs are out of all
        three.
    u : float
        Standard uncertainty without the reading.
    """

    as_read: float
    put_right: float
    without: float
    u: float

    @property
    def how_many_u(self) -> float:
        """By how many standard uncertainties the reading moves the answer."""
        return abs(self.as_read - self.without) / max(self.u, 1e-12)


def effect_of(weights: SeriesWeights, run: int, weighed: Weighed) -> Effect:
    """Return what a slip in one run does to the content.

    Parameters
    ----------
    weights : SeriesWeights
    run : int
        Index of the run.
    weighed : Weighed
    """
    fit, hypothesis = weights.fit, weighed.hypothesis
    as_read, _ = _content(weights, run, fit.views.pick([run]))
    without, u = _content(
        weights, run, fit.views.pick([run]), left_out(hypothesis.kind, hypothesis.quantity)
    )
    put_right = math.nan
    if hypothesis.law is None:
        case = weights.cases[run]
        cups = changed_cups(case, fit, [hypothesis]).pick([1])
        views = view(weights.experiment, fit.prior, fit.shared, cups)
        put_right, _ = _content(weights, run, views)
    return Effect(as_read=as_read, put_right=put_right, without=without, u=u)


def _content(
    weights: SeriesWeights, run: int, views: Views, left_open: tuple[Quantity, ...] = ()
) -> tuple[float, float]:
    """Return the content if a run is seen like this, some of its readings left open."""
    weight = np.linalg.inv(views.own[0])
    for quantity in left_open:
        move = views.by_own[0, :, READ.index(quantity)] if quantity in READ else np.zeros(2)
        through = weight @ move
        said = float(move @ through)
        # Less than nothing can be taken away once another reading was left open.
        if said > 1e-9 * float(move @ move) * float(np.trace(weight)) > 0.0:
            weight = weight - np.outer(through, through) / said
    says, pulls = information(views, weight[None])
    return weights.fit.content(*weights.fit.with_run(run, says[0], pulls[0]))
