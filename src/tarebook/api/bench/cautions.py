"""What the bench page says of safety: of the gas first, then what holds for every cup."""

from __future__ import annotations

from tarebook.planning.rules_gas import gas_advices
from tarebook.series.experiment import Experiment

ALWAYS = (
    "Goggles on. Acid into water. Never cover or stopper a vessel that makes gas. "
    "The person in charge decides."
)


def cautions(experiment: Experiment) -> tuple[str, ...]:
    """Return what the gas of the row makes necessary, the gravest first; empty for most rows.

    Parameters
    ----------
    experiment : Experiment
    """
    return tuple(f"{one.message} {one.do}" for one in gas_advices(experiment))
