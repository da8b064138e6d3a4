"""The table of what was done and what came of it, and the goals it is held against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_P99_MS = 150.0
"""At 120 devices while one floods, on a quiet machine."""

MOST_MEGABYTES = 600.0
"""Of the server, and of each of its helpers, whatever one group sends."""

LEAST_RATIO = 0.5
"""Readings a second when all send at once, beside bare durable inserts on the same disk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What one kind of mishap came to.

    Attributes
    ----------
    what : str
    times, asked : int
        How often it was done, and should have been: where all is slow the time ends first.
    acknowledged : int
        Readings that devices were told are on the disk.
    lost, doubled : int
        Of those, without a word; and readings that stand in the record again.
    noticed, unnoticed : int
        Damage that the program named, and damage to what somebody reads that it did not.
    no_effect : int
        Changes after which all that can be read was as before.
    errors : int
        Answers that nobody should get, and mistakes of the program itself.
    p99_ms : float or None
        From sending to the acknowledgement, 99 of 100; where it is measured.
    ratio : float or None
        Readings a second beside bare durable inserts; where it is measured.
    megabytes : float or None
        The most memory that the server or one of its helpers had; where it is measured.
    """

    what: str
    times: int
    acknowledged: int = 0
    lost: int = 0
    doubled: int = 0
    noticed: int = 0
    unnoticed: int = 0
    no_effect: int = 0
    errors: int = 0
    p99_ms: float | None = None
    ratio: float | None = None
    asked: int = 0
    megabytes: float | None = None

    @property
    def is_whole(self) -> bool:
        """Whether it was done as often as it should be."""
        return self.times >= self.asked

    @property
    def is_kept(self) -> bool:
        """Whether nothing was lost, doubled, unnoticed, wrong or too large; times are another."""
        large = self.megabytes is not None and self.megabytes >= MOST_MEGABYTES
        return not (self.lost or self.doubled or self.unnoticed or self.errors or large)

    @property
    def is_quick(self) -> bool:
        """Whether it was as fast as it should be, where that was measured."""
        in_time = self.p99_ms is None or self.p99_ms < MOST_P99_MS
        return in_time and (self.ratio is None or self.ratio >= LEAST_RATIO)


HEADS = (
    "what was done", "times", "acknowledged", "lost", "doubled", "noticed", "unnoticed",
    "no effect", "errors", "p99",
)  # fmt: skip


def table(rows: Sequence[Row]) -> str:
    """Return the rows as a table in Markdown."""
    return "\n".join((head(), *(line(row) for row in rows)))


def head() -> str:
    """Return the head of the table."""
    return _cells(HEADS) + "\n" + _cells(("---", *["---:"] * (len(HEADS) - 1)))


def line(row: Row) -> str:
    """Return a row as a line of the table."""
    numbers = (
        row.times, row.acknowledged, row.lost, row.doubled, row.noticed, row.unnoticed,
        row.no_effect, row.errors,
    )  # fmt: skip
    p99 = "" if row.p99_ms is None else f"{row.p99_ms:.0f} ms"
    return _cells((row.what, *(f"{number}" for number in numbers), p99))


def _cells(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |".replace("|  |", "| |")


def p99_ms(times: Sequence[float]) -> float:
    """Return the time in ms that 99 of 100 waited no longer than."""
    ordered = sorted(times)
    return 1000 * ordered[int(len(ordered) * 0.99)]
