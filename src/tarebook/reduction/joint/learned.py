"""What the readings taught about each parameter, and what they could not."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Estimate
from tarebook.model.parameters import NAMES, SCALES, from_fit_scale
from tarebook.model.priors import whitening
from tarebook.reduction.joint.distributions import NORMAL_95
from tarebook.reduction.joint.results import Confounded, ParameterEstimate
from tarebook.reduction.joint.solution import Solution
from tarebook.reduction.joint.trial import CONTENT

TOLD_APART: Final = 0.95
"""Size of the correlation that the readings alone give two parameters from which on they are said
not to be told apart: knowing one would make the other three times as sure."""

INFORMED: Final = 0.05
"""Part of the prior variance that readings must take away to have said anything."""

UNITS: Final = {
    "content": "g/g",
    "own_acid": "mol/g",
    "concentration": "mol/L",
    "hold_up_reagent": "L",
    "hold_up_diluent": "L",
    "gas_pressure": "Pa",
    "degassing": "1/min",
    "evaporation": "g/min",
}
"""Units of the parameters that have one."""


def parameter_estimates(solution: Solution, content: Estimate) -> tuple[ParameterEstimate, ...]:
    """Return each parameter before and after the readings.

    Parameters
    ----------
    solution : Solution
    content : Estimate
        With the interval that was found for it.
    """
    found = []
    of_readings = solution.slopes.shared
    for index, prior in enumerate(solution.problem.priors):
        centre = float(solution.unknowns[index])
        u = math.sqrt(solution.covariance.shared[index, index])
        learned = 1.0 if math.isinf(prior.u) else max(1.0 - (u / prior.u) ** 2, 0.0)
        value = content if index == CONTENT else on_own_scale(prior.name, centre, u)
        found.append(
            ParameterEstimate(
                name=prior.name,
                value=value,
                prior=prior.centre,
                prior_u=prior.u,
                learned=learned,
                source=prior.source,
                acts=bool(np.any(of_readings[:, :, index] != 0.0)),
                pull=0.0 if math.isinf(prior.u) else (centre - prior.fit_centre) / prior.u,
            )
        )
    return tuple(found)


def on_own_scale(name: str, centre: float, u: float) -> Estimate:
    """Return a parameter in its own unit; the interval's ends are those of the fitted scale.

    Parameters
    ----------
    name : str
        Of the parameter.
    centre, u : float
        On the scale of the fit.
    """
    ends = np.array([centre, centre - NORMAL_95 * u, centre + NORMAL_95 * u, centre + 1e-6])
    value, low, high, stepped = (float(v) for v in from_fit_scale(name, ends))
    own_u = u if name not in SCALES else u * (stepped - value) / 1e-6
    return Estimate(value=value, u=own_u, low=low, high=high, unit=UNITS.get(name, "1"))


def uninformed(parameters: tuple[ParameterEstimate, ...]) -> tuple[str, ...]:
    """Return the names of the parameters of which the readings say nothing.

    Their values are those that went in.
    """
    return tuple(parameter.name for parameter in parameters if parameter.learned < INFORMED)


SAME: Final = 1.0 - 1e-12
"""Correlation after the fit from which on there is no inverse to go by."""


def confounded(solution: Solution) -> tuple[Confounded, ...]:
    """Return the pairs of parameters that the readings cannot tell apart.

    A prior keeps any two parameters apart, so the correlation after the fit is no measure. This one
    is of the readings alone: from the precision of the pair after the fit that of its own two
    priors is taken away (those of the other parameters stay). Only pairs count of which the
    readings would say something about each if the other were known.

    Parameters
    ----------
    solution : Solution
    """
    inner = solution.covariance.shared[: len(NAMES), : len(NAMES)]
    rows = whitening(solution.problem.priors)
    known = rows.T @ rows
    second, first = np.array([(j, i) for i in range(len(NAMES)) for j in range(i)]).T
    pairs = np.stack([first, second], axis=-1)
    places = pairs[:, :, np.newaxis], pairs[:, np.newaxis, :]
    correlations = _by_readings_alone(inner[places], known[places])
    return tuple(
        Confounded(first=NAMES[i], second=NAMES[j], correlation=float(correlation))
        for i, j, correlation in zip(first, second, correlations, strict=True)
        if abs(correlation) > TOLD_APART
    )


def _by_readings_alone(pairs: FloatArray, known: FloatArray) -> FloatArray:
    """Return the correlation of pairs by the readings; 0 if they say nothing of one of the two.

    Parameters
    ----------
    pairs, known : ndarray, shape (k, 2, 2)
        Covariance after the fit, and precision by the pair's own priors.
    """
    across = pairs[:, 0, 1]
    as_one = np.abs(across) >= SAME * np.sqrt(pairs[:, 0, 0] * pairs[:, 1, 1])
    after = np.linalg.inv(np.where(as_one[:, np.newaxis, np.newaxis], np.eye(2), pairs))
    alone = after - known
    own, left = (np.diagonal(each, axis1=1, axis2=2) for each in (after, alone))
    says = np.all(left > INFORMED * own, axis=1)
    size = np.sqrt(np.where(says, left[:, 0] * left[:, 1], 1.0))
    by_readings = np.where(says, np.clip(-alone[:, 0, 1] / size, -1.0, 1.0), 0.0)
    return np.where(as_one, np.copysign(1.0, across), by_readings)
