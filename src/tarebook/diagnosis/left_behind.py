"""What pours leave behind in their ware, as it is known before any reading."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.delivery import diluent_density, reagent_density
from tarebook.model.priors import Prior, priors
from tarebook.series.experiment import Experiment

HELD: Final = ("hold_up_reagent", "hold_up_diluent")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeftBehind:
    """One pour of each liquid, the reagent first.

    Attributes
    ----------
    centre : ndarray, shape (2,), [g]
    covariance : ndarray, shape (2, 2), [g2]
        One hand drains both vessels, so what is not known of them goes together.
    """

    centre: FloatArray
    covariance: FloatArray

    def of(self, fillings: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return what the pours of each cup leave behind and how unsure that is, [g].

        Parameters
        ----------
        fillings : ndarray, shape (2, n), [1]
            How often the vessel of the reagent was filled, and that of the diluent.
        """
        square = np.einsum("in,ij,jn->n", fillings, self.covariance, fillings)
        return self.centre @ fillings, np.sqrt(np.maximum(square, 0.0))


def left_behind(experiment: Experiment, known: Iterable[Prior] | None = None) -> LeftBehind:
    """Return what one pour of each liquid leaves behind.

    Parameters
    ----------
    experiment : Experiment
    known : iterable of Prior, optional
        What is known beforehand; the experiment's own priors without it.
    """
    by_name = {prior.name: prior for prior in (priors(experiment) if known is None else known)}
    held = [by_name[name] for name in HELD]
    per_litre = grams_per_litre(experiment)
    centre, u = (np.array(column) for column in zip(*((h.centre, h.u) for h in held), strict=True))
    together = sum(prior.correlation for prior in held)
    covariance = np.outer(per_litre * u, per_litre * u)
    covariance *= np.array([[1.0, together], [together, 1.0]])
    return LeftBehind(centre=per_litre * centre, covariance=covariance)


def grams_per_litre(experiment: Experiment) -> FloatArray:
    """Return the densities of reagent and diluent at the temperature of the room, [g/L]."""
    room = np.array(experiment.room.temperature)
    of_reagent = reagent_density(experiment, room)
    return np.array([float(of_reagent), float(diluent_density(experiment, room))])
