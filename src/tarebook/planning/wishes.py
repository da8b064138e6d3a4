"""What a person wishes of a plan, and the refusal of what cannot be had."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.errors import TarebookError
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
    def any_amount(self) -> bool:
        """Whether an amount is wished for, so that the row has to be laid out anew."""
        amounts = (self.total_volume, self.n_runs, self.sample_mass, self.stock)
        return any(amount is not None for amount in amounts)


class ImpossibleWishError(TarebookError, ValueError):
    """A wish that no row can fulfil.

    Parameters
    ----------
    wish : str
        What was wished for, as it was typed.
    because : str
        Why it cannot be had, a clause with its numbers.
    nearest : str
        The nearest that works, computed and checked with the same model; or why there is none.

    Examples
    --------
    >>> print(ImpossibleWishError("--runs 2", "a row of 2 shows no equivalence point", "Use 4."))
    --runs 2 cannot be had: a row of 2 shows no equivalence point. Use 4.
    """

    code = "impossible-wish"

    def __init__(self, wish: str, because: str, nearest: str) -> None:
        super().__init__(wish, because, nearest)
        self.wish, self.because, self.nearest = wish, because, nearest

    def __str__(self) -> str:
        return f"{self.wish} cannot be had: {self.because}. {self.nearest}".rstrip()


class PlanBeyondModelError(TarebookError, ValueError):
    """A row that the model cannot say anything about.

    Parameters
    ----------
    because : str
        Where the model ends.
    nearest : str
        The nearest that can be planned.
    first : str
        What has to be said before: a gas that no class works with.
    runs : tuple of str
        The planned runs at which the model ends, as far as they are known.
    """

    code = "plan-beyond-model"

    def __init__(
        self, because: str, nearest: str, first: str = "", runs: tuple[str, ...] = ()
    ) -> None:
        super().__init__(because, nearest, first, runs)
        self.because, self.nearest, self.first, self.runs = because, nearest, first, runs

    def __str__(self) -> str:
        where = f" in {'cup' if len(self.runs) == 1 else 'cups'} {', '.join(self.runs)}"
        text = (
            f"{self.first} This row cannot be judged{where if self.runs else ''}: {self.because}. "
            f"{self.nearest}"
        )
        return text.strip()
