"""What is known of the parameters before any reading is looked at, with where that comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tarebook.chemistry.equilibrium.acids import equilibrium_table, table_source
from tarebook.chemistry.equilibrium.constants import LN10
from tarebook.chemistry.equilibrium.solids import solids
from tarebook.core.arrays import FloatArray
from tarebook.core.kept import kept_for
from tarebook.core.quantity import Measured, Source
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.measurement.air import saturation_vapour_pressure
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.model.cup_chemistry import AIR_MOLAR_MASS
from tarebook.model.gas_space import still_air_evaporation
from tarebook.model.own_acid import own_acid
from tarebook.model.parameters import NAMES, SCALES, Parameters, Scale, from_fit_scale, to_fit_scale
from tarebook.series.experiment import Equipment, Experiment, Procedure

WIDEST = 2.0
"""Largest u on a logarithm or a logit: 95 % from a fiftieth to fifty times. A u that is as large as
the value itself cannot be carried to such a scale as it stands."""

LEAST_RELATIVE_U = 1e-6
LEAST_U = {"own_acid": 1e-8, "hold_up_reagent": 1e-8, "hold_up_diluent": 1e-8}
"""What is declared to be exact keeps this much, so that every row of the fit can be divided by u:
far below anything that shows."""


PHYSICAL = {
    "hold_up_reagent": (0.0, math.inf),
    "hold_up_diluent": (0.0, math.inf),
    "head_fraction": (0.0, 1.0),
}
"""Ranges that draws are kept in, of parameters that are fitted without bounds."""


LATER = ("heat_kept", "waiting", "saturation", "activity")
"""Parameters that joined the model after series had been drawn by seed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """What is known of one parameter.

    Attributes
    ----------
    name : str
        Of the parameter.
    centre : float
        Median, on the parameter's own scale.
    u : float
        Standard uncertainty on the scale of the fit (of the logarithm, or of the logit, where the
        parameter is fitted on one); infinite where nothing is known.
    label : str
        Line of the budget that it belongs to.
    source : Source
    beside : str
        Name of another parameter that what is not known of this one goes along with; empty if none.
    correlation : float, [1]
        With that one, beforehand.
    """

    name: str
    centre: float
    u: float
    label: str
    source: Source
    beside: str = ""
    correlation: float = 0.0

    @property
    def fit_centre(self) -> float:
        """The median on the scale of the fit."""
        return float(to_fit_scale(self.name, np.array(self.centre)))


@kept_for
def priors(experiment: Experiment) -> tuple[Prior, ...]:
    """Return the priors of all parameters, in the order of `NAMES`.

    Parameters
    ----------
    experiment : Experiment
        What its definition says wins over the table `cup.toml`.
    """
    found = {prior.name: prior for prior in _all(experiment)}
    return tuple(found[name] for name in NAMES)


@kept_for
def whitening(known: tuple[Prior, ...]) -> FloatArray:
    """Return the matrix that makes independent rows of unit variance of what is known.

    Parameters
    ----------
    known : tuple of Prior, length n
        In the order of `NAMES`.

    Returns
    -------
    ndarray, shape (n, n)
        Times the parameters less their centres, on the scale of the fit; a row of zeros where
        nothing is known.

    Examples
    --------
    >>> from tarebook.core.quantity import Source
    >>> said = Source("an example", "declared")
    >>> first = Prior(name="a", centre=0.0, u=2.0, label="", source=said)
    >>> second = Prior(
    ...     name="b", centre=0.0, u=2.0, label="", source=said, beside="a", correlation=0.6
    ... )
    >>> rows = whitening((first, second))
    >>> np.linalg.inv(rows.T @ rows).round(9).tolist()
    [[4.0, 2.4], [2.4, 4.0]]
    """
    names = [prior.name for prior in known]
    rows = np.diag([0.0 if math.isinf(prior.u) else 1.0 / prior.u for prior in known])
    for index, prior in enumerate(known):
        if prior.correlation:
            other, left = names.index(prior.beside), math.sqrt(1.0 - prior.correlation**2)
            rows[index] = (rows[index] - prior.correlation * rows[other]) / left
    return rows


@kept_for
def centres_and_u(known: tuple[Prior, ...]) -> tuple[FloatArray, FloatArray]:
    """Return the medians on the scale of the fit and the standard uncertainties, shape (n,)."""
    return np.array([prior.fit_centre for prior in known]), np.array([prior.u for prior in known])


def correlation_root(known: tuple[Prior, ...]) -> FloatArray:
    """Return the matrix that makes unit steps, each independent, into steps as they go together.

    Parameters
    ----------
    known : tuple of Prior, length n

    Returns
    -------
    ndarray, shape (n, n)
        Lower triangular; times itself transposed it is the correlation of what is not known.
    """
    names = [prior.name for prior in known]
    root = np.eye(len(known))
    for index, prior in enumerate(known):
        if prior.correlation:
            root[index] *= math.sqrt(1.0 - prior.correlation**2)
            root[index, names.index(prior.beside)] = prior.correlation
    return root


def central_parameters(experiment: Experiment) -> Parameters:
    """Return the parameters at the medians of their priors, as numbers."""
    values = {prior.name: np.array(prior.centre) for prior in priors(experiment)}
    return Parameters(**values)


def drawn_parameters(experiment: Experiment, rng: np.random.Generator, n_draws: int) -> Parameters:
    """Return parameters drawn from their priors, each of shape (n_draws, 1).

    The content, of which the priors know nothing, is the claimed one or the table's guess.
    """
    values = {}
    # What joined later draws from a stream of its own: a seed goes on meaning the series it meant.
    (later,) = rng.spawn(1)
    noises: dict[str, FloatArray] = {}
    for prior in priors(experiment):
        noise = (later if prior.name in LATER else rng).standard_normal((n_draws, 1))
        if prior.correlation:
            left = math.sqrt(1.0 - prior.correlation**2)
            noise = prior.correlation * noises[prior.beside] + left * noise
        noises[prior.name] = noise
        width = 0.0 if math.isinf(prior.u) else prior.u
        drawn = from_fit_scale(prior.name, prior.fit_centre + width * noise)
        # Nothing pours more than was in it; no space holds more gas than it has room for.
        low, high = PHYSICAL.get(prior.name, (-math.inf, math.inf))
        values[prior.name] = np.clip(drawn, low, high)
    return Parameters(**values)


def _all(experiment: Experiment) -> tuple[Prior, ...]:
    sample, equipment = experiment.sample, experiment.equipment
    table = reference_table("tarebook.model", "cup")
    claimed = sample.claimed_mass_fraction
    concentration = experiment.reagent.concentration
    procedure = experiment.procedure
    room = experiment.room
    own_gas = room.pressure - float(saturation_vapour_pressure(room.temperature))
    pressure = _measured(procedure.gas_pressure, table["gas_pressure"], own_gas, "part")
    is_light = experiment.reaction.gas_molar_mass.value < AIR_MOLAR_MASS
    head = table["head_gas_light" if is_light else "head_gas"]
    solubility = table["solubility"]["relative_u"]
    return (
        Prior(
            name="content",
            centre=claimed.value if claimed else table["content"]["guess"],
            u=math.inf,
            label="content",
            source=Source("no opinion before the readings", "common practice"),
        ),
        _prior("own_acid", own_acid(experiment).protons, "acid of the sample itself"),
        _prior("concentration", concentration, "strength of the stock"),
        _scale("scale_reagent", equipment.reagent),
        _scale("scale_diluent", equipment.diluent),
        *_hold_ups(equipment),
        # The pressure and the Henry constant only ever act as a product: one uncertainty for both.
        _prior(
            "gas_pressure",
            replace(pressure, u=math.hypot(pressure.u, solubility * pressure.value)),
            "gas left dissolved",
        ),
        _prior(
            "degassing",
            _measured(procedure.degassing, table["degassing"], 1.0, "per_minute"),
            "gas left dissolved",
        ),
        _prior(
            "head_fraction",
            _measured(procedure.head_fraction, head, 1.0, "fraction"),
            "gas lying in the vessel",
        ),
        _prior("evaporation", procedure.evaporation or _still_air(experiment), "evaporation"),
        _prior(
            "vapour_saturation",
            _measured(procedure.vapour_saturation, table["vapour"], 1.0, "saturation"),
            "vapour in the gas",
        ),
        _prior(
            "heat_kept",
            _measured(None, table["heat_kept"], 1.0, "part"),
            "warming and cooling",
        ),
        _waiting(procedure),
        Prior(
            name="first_pk_shift",
            centre=0.0,
            u=table["first_pk"]["u"],
            label="equilibrium constants",
            source=table_source(table["first_pk"]),
        ),
        Prior(
            name="activity",
            centre=0.0,
            u=1.0,
            label="activities",
            source=table_source(equilibrium_table()["activity"]["uncertainty"]),
        ),
        _saturation(experiment),
    )


def _saturation(experiment: Experiment) -> Prior:
    """Return what is known of the saturation that a solid left over brings about."""
    row = reference_table("tarebook.model", "cup")["saturation"]
    solid = solids().get(experiment.reaction.analyte)
    of_product = LN10 * solid.u_log_k if solid else 0.0
    return Prior(
        name="saturation",
        centre=0.0,
        u=math.hypot(row["u"], of_product),
        label="solid left over",
        source=table_source(row),
    )


def _waiting(procedure: Procedure) -> Prior:
    """Return what is known of a waiting time that was not read, as a multiple of the plan's."""
    row = reference_table("tarebook.model", "cup")["waiting"]
    u = row["relative_u_planned" if procedure.minutes_are_said else "relative_u"]
    measured = Measured(value=1.0, u=u, unit="1", source=table_source(row))
    return _prior("waiting", measured, "waiting time not read")


def _measured(declared: Measured | None, row: dict[str, Any], factor: float, key: str) -> Measured:
    """Return what the definition says, or the table's value."""
    if declared is not None:
        return declared
    value = row[key] * factor
    u = row["relative_u"] * value if "relative_u" in row else row["u"] * factor
    return Measured(value=value, u=u, unit="1", source=table_source(row))


def _prior(name: str, measured: Measured, label: str) -> Prior:
    """Return a prior from a value and its u, brought to the scale of the fit."""
    scale, u = SCALES.get(name, Scale.LINEAR), measured.u
    if scale is Scale.LOGARITHMIC:
        u = min(measured.u / measured.value, WIDEST)
    elif scale is Scale.LOGISTIC:
        u = min(measured.u / (measured.value * (1.0 - measured.value)), WIDEST)
    u = max(u, LEAST_U.get(name, LEAST_RELATIVE_U))
    return Prior(name=name, centre=measured.value, u=u, label=label, source=measured.source)


def _scale(name: str, instrument: VolumeInstrument) -> Prior:
    measured = Measured(
        value=0.0, u=instrument.scale_u, unit="1", source=instrument.tolerance_source
    )
    return _prior(name, measured, f"{instrument.name}: calibration")


def _hold_ups(equipment: Equipment) -> tuple[Prior, Prior]:
    """Return what both vessels leave behind: one hand drains them, so they err together."""
    reagent = _hold_up("hold_up_reagent", equipment.reagent)
    diluent = _hold_up("hold_up_diluent", equipment.diluent)
    if equipment.reagent.to_contain and equipment.diluent.to_contain:
        alike = reference_table("tarebook.model", "cup")["hold_up"]["correlation"]
        diluent = replace(diluent, beside=reagent.name, correlation=alike)
    return reagent, diluent


def _hold_up(name: str, instrument: VolumeInstrument) -> Prior:
    row = reference_table("tarebook.model", "cup")["hold_up"]
    label = f"{instrument.name}: hold-up"
    if not instrument.to_contain:
        small = litres(row["to_deliver_mL"])
        return Prior(
            name=name,
            centre=small,
            u=row["to_deliver_relative_u"] * small,
            label=label,
            source=Source("ware that is marked for what it delivers", row["to_deliver_basis"]),
        )
    capacity = np.log(millilitres(instrument.capacity))
    film = np.exp(np.interp(capacity, np.log(row["capacity_mL"]), np.log(row["film_mL"])))
    usual = litres(float(film) + row["lip_drop_mL"])
    return Prior(
        name=name,
        centre=usual,
        u=row["relative_u"] * usual,
        label=label,
        source=Source(row["source"], row["film_basis"]),
    )


def _still_air(experiment: Experiment) -> Measured:
    """Return the evaporation from liquid to rim through still air, [g/min]."""
    row = reference_table("tarebook.model", "cup")["evaporation"]
    vessel = experiment.vessel
    filled = min(experiment.total_volume / vessel.capacity, 0.9)
    area = math.pi * vessel.opening_diameter**2 / 4.0
    still = still_air_evaporation(experiment.room, area, vessel.height * (1.0 - filled))
    # A room saturated with vapour would leave nothing to fit on a logarithmic scale.
    per_minute = max(still, 1e-6)
    return Measured(
        value=per_minute, u=row["relative_u"] * per_minute, unit="g/min", source=table_source(row)
    )
