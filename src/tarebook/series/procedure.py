"""From the definition's table of what happens after the fizzing to the memory's units."""

from __future__ import annotations

from tarebook.core.errors import Fault, InputError
from tarebook.core.quantity import Measured, Source
from tarebook.series import schema
from tarebook.series.experiment import Procedure

DECLARED = Source("the definition", "declared")
ATMOSPHERE = 101325.0
"""Pa, exact by definition."""


_UNCERTAINTY_OF = {
    "gas_pressure_relative_u": "gas_pressure_atm",
    "degassing_relative_u": "degassing_per_minute",
    "head_gas_u": "head_gas_fraction",
    "evaporation_relative_u": "evaporation_mg_per_minute",
    "vapour_saturation_u": "vapour_saturation",
}


def read_procedure(table: schema.WaitingTable) -> Procedure:
    """Return the procedure of a definition.

    Parameters
    ----------
    table : WaitingTable

    Raises
    ------
    InputError
        If an uncertainty stands there without its value: it would count for nothing.
    """
    faults = [
        Fault(
            where=key,
            found=f"no {of} beside it",
            allowed="both or neither",
            do=f"Add {of}, or remove {key}.",
        )
        for key, of in _UNCERTAINTY_OF.items()
        if key in table.model_fields_set and getattr(table, of) is None
    ]
    if faults:
        raise InputError(faults)
    evaporation = table.evaporation_mg_per_minute
    return Procedure(
        minutes=table.minutes,
        minutes_are_said="minutes" in table.model_fields_set,
        gas_pressure=_relative(
            table.gas_pressure_atm, table.gas_pressure_relative_u, ATMOSPHERE, "Pa"
        ),
        degassing=_relative(table.degassing_per_minute, table.degassing_relative_u, 1.0, "1/min"),
        head_fraction=_absolute(table.head_gas_fraction, table.head_gas_u),
        evaporation=_relative(evaporation, table.evaporation_relative_u, 0.001, "g/min"),
        vapour_saturation=_absolute(table.vapour_saturation, table.vapour_saturation_u),
    )


def _relative(value: float | None, relative_u: float, factor: float, unit: str) -> Measured | None:
    if value is None:
        return None
    amount = value * factor
    return Measured(value=amount, u=relative_u * amount, unit=unit, source=DECLARED)


def _absolute(value: float | None, u: float) -> Measured | None:
    return None if value is None else Measured(value=value, u=u, unit="1", source=DECLARED)
