"""What is wished of a row, why it cannot be had, and what can be: values, no sentences.

Each edge has its own name for a wish; `tarebook.report.refusal_words` makes the sentence.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from tarebook.core.errors import TarebookError
from tarebook.planning.advice import Advice


class Wished(Enum):
    """What of a row can be wished for."""

    TOTAL_VOLUME = "total volume"
    N_RUNS = "number of runs"
    SAMPLE_MASS = "sample mass"
    STOCK = "strength of the stock"


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One wish, or what can be had in its place.

    Attributes
    ----------
    of : Wished
    value : float
        In its memory unit: [L], [1], [g] or [mol/L].
    """

    of: Wished
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """The nearest that can be had, computed and checked with the same model.

    Attributes
    ----------
    amounts : tuple of Amount
        Each works by itself; empty if no single one does.
    all_else_as_defined : bool
        Whether the other wishes have to be given up for it too.
    """

    amounts: tuple[Amount, ...] = ()
    all_else_as_defined: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleGrows:
    """A row in which the sample grows is not laid out by wishes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TooFewRuns:
    """So few show no equivalence point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TooManyRuns:
    """A row of more than `most` cannot be laid out."""

    most: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NoAmount:
    """The number is no amount of anything; from `least` to `most`, in the unit of the wish."""

    least: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSuchSolution:
    """No solution of the reagent holds more than `strongest`, [mol/L]."""

    reagent: str
    strongest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StrongerThanBottle:
    """What the stock is made from can only be diluted.

    Attributes
    ----------
    bottle : str
        What it is called; empty if the definition does not say.
    strength : float, [mol/L]
    """

    bottle: str
    strength: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BetweenSteps:
    """A portion that the balance does not show."""

    balance: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BetweenPieces:
    """A portion that is no whole number of pieces or of their parts, both [g]."""

    piece: float
    part: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselTooSmall:
    """The vessel holds no more than `capacity`, [L]."""

    vessel: str
    capacity: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NotMeasurable:
    """The ware measures fewer than `n_runs` different pours to a total, [L]."""

    ware: tuple[str, ...]
    n_runs: int
    total: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """A rule that stops the row, wherever its runs are placed or as they would be."""

    advice: Advice


@dataclass(frozen=True, slots=True, kw_only=True)
class BeyondModel:
    """The model says nothing of so strong a solution.

    Attributes
    ----------
    error : TarebookError
        What the model raised.
    """

    error: TarebookError


@dataclass(frozen=True, slots=True, kw_only=True)
class NoRoomForWater:
    """So much is to be dissolved that no water is left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfReach:
    """No row goes so far that two runs stand on either side of the equivalence point; all [L].

    Attributes
    ----------
    low, high : float
        Between which the equivalence point lies.
    first, last : float
        Reagent in the outermost runs that can be measured.
    total : float
    """

    low: float
    high: float
    first: float
    last: float
    total: float


ModelEnds: TypeAlias = BeyondModel | NoRoomForWater
"""Why nothing can be said about a row."""

Reason: TypeAlias = (
    SampleGrows
    | TooFewRuns
    | TooManyRuns
    | NoAmount
    | NoSuchSolution
    | StrongerThanBottle
    | BetweenSteps
    | BetweenPieces
    | VesselTooSmall
    | NotMeasurable
    | Stopped
    | ModelEnds
    | OutOfReach
)
"""Why a row cannot be had."""


class ImpossibleWishError(TarebookError, ValueError):
    """A wish that no row can fulfil.

    Parameters
    ----------
    wished : iterable of Amount
        What was wished for; at least one.
    because : Reason
        Why it cannot be had.
    nearest : Nearest
        The nearest that can.

    Examples
    --------
    >>> two, four = (Amount(of=Wished.N_RUNS, value=n) for n in (2, 4))
    >>> print(ImpossibleWishError([two], TooFewRuns(), Nearest(amounts=(four,))))
    number of runs = 2 cannot be had: TooFewRuns()
    """

    code = "impossible-wish"

    def __init__(self, wished: Iterable[Amount], because: Reason, nearest: Nearest) -> None:
        self.wished = tuple(wished)
        super().__init__(self.wished, because, nearest)
        self.because, self.nearest = because, nearest

    def __str__(self) -> str:
        # For a trace; who shows it to somebody has names of their own for what is wished.
        wished = ", ".join(f"{amount.of.value} = {amount.value}" for amount in self.wished)
        return f"{wished} cannot be had: {self.because}"


class PlanBeyondModelError(TarebookError, ValueError):
    """A row that the model cannot say anything about.

    Parameters
    ----------
    because : ModelEnds
        Where the model ends.
    nearest : Nearest, optional
        The nearest that can be planned; None where it was not looked for.
    first : tuple of Advice
        What has to be said before: a gas that no class works with.
    runs : tuple of str
        The planned runs at which the model ends, as far as they are known.
    """

    code = "plan-beyond-model"

    def __init__(
        self,
        because: ModelEnds,
        nearest: Nearest | None = None,
        first: tuple[Advice, ...] = (),
        runs: tuple[str, ...] = (),
    ) -> None:
        super().__init__(because, nearest, first, runs)
        self.because, self.nearest, self.first, self.runs = because, nearest, first, runs

    def __str__(self) -> str:
        return f"this row cannot be judged: {self.because}"
