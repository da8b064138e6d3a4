"""What is wished of a row, why it is not possible, and what is: values, no sentences.

Each edge has its own name for a wish; `tarebook.report.refusal_words` makes the sentences.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from tarebook.core.errors import TarebookError
from tarebook.core.phrase import Phrase

if TYPE_CHECKING:
    # The command line knows wishes by their names: nothing heavy is loaded for them.
    from tarebook.findings.finding import Finding


class Wished(Enum):
    """What of a row can be wished for."""

    TOTAL_VOLUME = "total-volume"
    N_RUNS = "runs"
    SAMPLE_MASS = "sample"
    STOCK = "stock"


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """One wish, or what works in its place.

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
    """The nearest that works.

    Attributes
    ----------
    amounts : tuple of Amount
        Each works by itself; empty if no single one does.
    all_else_as_defined : bool
        Whether the other wishes have to be given up for it too.
    checked : bool
        With the same model; a bound of the number of runs is not.
    """

    amounts: tuple[Amount, ...] = ()
    all_else_as_defined: bool = False
    checked: bool = True


class ImpossibleWishError(TarebookError, ValueError):
    """A wish that no row can fulfil.

    Parameters
    ----------
    wished : iterable of Amount
        What was wished for; at least one.
    because : Phrase
        Why it is not possible: a rule that stops the row, or a reason of the catalogue's own.
    nearest : Nearest, optional
        The nearest that is; None where it was not looked for.

    Examples
    --------
    >>> two, four = (Amount(of=Wished.N_RUNS, value=n) for n in (2, 4))
    >>> few = Phrase.of("refusal-too-few-runs")
    >>> print(ImpossibleWishError([two], few, Nearest(amounts=(four,))))
    runs = 2: refusal-too-few-runs
    """

    code = "impossible-wish"

    def __init__(
        self, wished: Iterable[Amount], because: Phrase, nearest: Nearest | None = None
    ) -> None:
        self.wished = tuple(wished)
        super().__init__(self.wished, because, nearest)
        self.because, self.nearest = because, nearest

    def __str__(self) -> str:
        # For a trace; who shows it to somebody has names of their own for what is wished.
        wished = ", ".join(f"{amount.of.value} = {amount.value}" for amount in self.wished)
        return f"{wished}: {self.because.key}"


class PlanBeyondModelError(TarebookError, ValueError):
    """A row that the model cannot say anything about.

    Parameters
    ----------
    because : Phrase
        Where the model ends.
    nearest : Nearest, optional
        The nearest that can be planned; None where it was not looked for.
    first : tuple of Finding
        What has to be said before: a gas that no class works with.
    runs : tuple of str
        The planned runs at which the model ends, as far as they are known.
    """

    code = "plan-beyond-model"

    def __init__(
        self,
        because: Phrase,
        nearest: Nearest | None = None,
        first: tuple[Finding, ...] = (),
        runs: tuple[str, ...] = (),
    ) -> None:
        super().__init__(because, nearest, first, runs)
        self.because, self.nearest, self.first, self.runs = because, nearest, first, runs

    def __str__(self) -> str:
        return f"this row is beyond the model: {self.because.key}"
