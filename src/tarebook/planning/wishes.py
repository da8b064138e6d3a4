"""What a person wishes of a plan."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.planning.refusals import Amount, Wished
from tarebook.planning.rows import Best


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the plan is to keep to; None where the definition decides.

    Attributes
    ----------
    total_volume : float or None, [L]
    n_runs : int or None
    sample_mass : float or None, [g]
    stock : float or None, [mol/L]
    best : Best
    """

    total_volume: float | None = None
    n_runs: int | None = None
    sample_mass: float | None = None
    stock: float | None = None
    best: Best = Best.CONTENT

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """What is wished for, one by one; with any, the row has to be laid out anew."""
        each = {
            Wished.TOTAL_VOLUME: self.total_volume,
            Wished.N_RUNS: self.n_runs,
            Wished.SAMPLE_MASS: self.sample_mass,
            Wished.STOCK: self.stock,
        }
        return tuple(Amount(of=of, value=v) for of, v in each.items() if v is not None)
