"""Many series, counted."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from scripts.study_slips.judge import LARGE, Asked, Outcome, judge

from tarebook.diagnosis.slips.kinds import SlipKind

CHUNK = 20
"""Series that one worker makes at a time."""

READING = "one slip: right run and reading first"
WEIGHING = "- weighings as one where only the gas shows it"
"""Lines that the page speaks of."""

BANDS = ((1.0, 2.0), (2.0, 3.0), (3.0, 4.0), (4.0, 5.0))


@dataclass(frozen=True, slots=True)
class Line:
    """A count of a table.

    Attributes
    ----------
    what : str
    hits, n : int
    at_least, at_most : float or None, [1]
        The share asked for.
    """

    what: str
    hits: int
    n: int
    at_least: float | None = None
    at_most: float | None = None

    @property
    def share(self) -> float:
        """Part of the series."""
        return self.hits / self.n if self.n else math.nan

    @property
    def missed(self) -> bool:
        """Whether the share is not the one asked for."""
        if self.at_least is not None:
            return not self.share >= self.at_least
        return self.at_most is not None and not self.share <= self.at_most

    @property
    def asked(self) -> str:
        """The share asked for, in words."""
        if self.at_least is not None:
            return f"at least {100 * self.at_least:g} %"
        return f"at most {100 * self.at_most:g} %" if self.at_most is not None else ""

    @property
    def found(self) -> str:
        """The share with its 95 % interval (Wilson's), in per cent."""
        if not self.n:
            return "none"
        z, p = 1.96, self.share
        middle = (p + z * z / (2 * self.n)) / (1 + z * z / self.n)
        half = z / (1 + z * z / self.n) * math.sqrt(p * (1 - p) / self.n + (z / (2 * self.n)) ** 2)
        low, high = max(100 * (middle - half), 0.0), min(100 * (middle + half), 100.0)
        return f"{100 * p:.1f} ({low:.1f} to {high:.1f})"


def many(
    world: str,
    n_slips: int,
    seed: int,
    n: int,
    workers: int,
    sizes: tuple[float, float] = LARGE,
) -> list[Outcome]:
    """Return what the check made of so many series."""
    cases = [Asked(world, n_slips, seed, number, sizes) for number in range(n)]
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(judge, cases, chunksize=CHUNK))


def lines(
    clean: Sequence[Outcome], single: Sequence[Outcome], double: Sequence[Outcome], asked: bool
) -> list[Line]:
    """Return the counts of one world, the strict ones with the lenient ones beside them.

    Parameters
    ----------
    clean, single, double : sequence of Outcome
        Series without, with one and with two slips.
    asked : bool
        Whether the shares asked for are asked of this world.
    """

    def of(
        what: str,
        outcomes: Sequence[Outcome],
        hit: Callable[[Outcome], bool],
        at_least: float | None = None,
        at_most: float | None = None,
    ) -> Line:
        hits = sum(map(hit, outcomes))
        least, most = (at_least, at_most) if asked else (None, None)
        return Line(what, hits, len(outcomes), least, most)

    kinds = [o for o in single if o.kind_tells]
    numbers = [o for o in single if o.number_tells]
    rest = [o for o in single if not o.kind_tells]
    return [
        of("clean: a false *stop*", clean, lambda o: o.stops > 0, at_most=0.01),
        of("clean: a false *look*", clean, lambda o: o.looks > 0, at_most=0.05),
        of("one slip: found", single, lambda o: o.found, at_least=0.97),
        of("one slip: right run first", single, lambda o: o.run),
        of(READING, single, lambda o: o.reading, at_least=0.95),
        of("- the very reading that carries it", single, lambda o: o.carrier),
        of(WEIGHING, single, lambda o: o.weighing),
        of("one slip: another run is named too", single, lambda o: o.blamed),
        of("one slip: right kind first, of kinds that can be told", kinds, lambda o: o.kind, 0.80),
        of("- where the number can be told as well", numbers, lambda o: o.kind),
        of("- of kinds that cannot be told: right kind", rest, lambda o: o.kind),
        of("- of kinds that cannot be told: one of its set", rest, lambda o: o.alike),
        of("- of all kinds: right kind", single, lambda o: o.kind),
        of("two slips: both runs named", double, lambda o: o.all_named, at_least=0.85),
        of("two slips: another run is named too", double, lambda o: o.blamed),
    ]


def bands(small: Sequence[Outcome]) -> list[Line]:
    """Return how many small slips are found, by their effect."""
    found = []
    for low, high in BANDS:
        inside = [o for o in small if low <= o.effect < high]
        what = f"{low:g} to {high:g} u"
        found.append(Line(what, sum(o.found for o in inside), len(inside)))
    return found


@dataclass(frozen=True, slots=True)
class OfKind:
    """What became of the slips of one kind."""

    kind: SlipKind
    n: int
    found: int
    run: int
    reading: int
    right: int
    instead: tuple[tuple[str, int], ...]


def by_kind(single: Sequence[Outcome]) -> list[OfKind]:
    """Return what became of each kind of slip."""
    rows = []
    for kind in sorted({o.kinds[0] for o in single}):
        own = [o for o in single if o.kinds[0] is kind]
        instead = Counter(o.named for o in own if not o.kind and o.named)
        rows.append(
            OfKind(
                kind=kind,
                n=len(own),
                found=sum(o.found for o in own),
                run=sum(o.run for o in own),
                reading=sum(o.reading for o in own),
                right=sum(o.kind for o in own),
                instead=tuple(instead.most_common(3)),
            )
        )
    return rows
