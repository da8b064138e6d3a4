"""Torture the real server, and print what came of it; see `docs/studies/torture.md`.

python -m scripts.torture [--minutes 30] [--seed 20] [--only PART ...] [--page]
"""

from __future__ import annotations

import argparse
import contextlib
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.cut import cut
from scripts.torture.disk import disk
from scripts.torture.flip import flip
from scripts.torture.flood import flood
from scripts.torture.kill import kill
from scripts.torture.page import write_page
from scripts.torture.postgresql import programs, throw_away
from scripts.torture.replace import replace
from scripts.torture.size import Size
from scripts.torture.table import Row, head, line


def _kills(place: Path, seed: int, size: Size, clock: Clock) -> Iterator[Row]:
    of_file = Clock(clock.left * 0.6)
    yield kill(place / "file", seed=seed, times=size.kills, clock=of_file)
    found = programs()
    if found is None:
        print("There is no PostgreSQL server here: that part is left out.")
        return
    times = size.kills_in_database
    with throw_away(found) as server:
        yield kill(place / "server", seed=seed, times=times, clock=clock, database=server.url)


Part = Callable[[Path, int, Size, Clock], Iterator[Row]]

PARTS: dict[str, Part] = {
    "kill": _kills,
    "disk": lambda place, seed, size, clock: iter(
        [disk(place, seed=seed, times=size.fills, clock=clock)]
    ),
    "replace": lambda place, seed, size, clock: iter(
        [replace(place, seed=seed, times=size.deeds, clock=clock)]
    ),
    "flip": lambda place, seed, size, clock: iter(
        [flip(place, seed=seed, times=size.flips, clock=clock)]
    ),
    "cut": lambda place, seed, size, clock: iter(
        [cut(place, seed=seed, times=size.cuts, clock=clock)]
    ),
    "flood": lambda place, seed, size, _: iter(
        flood(place, seed=seed, seconds=size.flood_seconds, devices=size.devices)
    ),
}

ENDS = {"kill": 0.3, "disk": 0.42, "replace": 0.54, "flip": 0.76, "cut": 0.84, "flood": 1.0}
"""When each part ends at the latest, in parts of the whole time: what an earlier one leaves is for
the later ones."""


def torture(seed: int, size: Size, minutes: float, only: Sequence[str] = ()) -> list[Row]:
    """Do all parts, or some, and return what came of them.

    Parameters
    ----------
    seed : int
    size : Size
    minutes : float
        For all parts; one alone has all of them.
    only : sequence of str
        The parts; all if empty.
    """
    rows: list[Row] = []
    whole = Clock(60.0 * minutes)
    print(head(), flush=True)
    for name in only or PARTS:
        clock = Clock(whole.left - (0.0 if only else (1.0 - ENDS[name]) * whole.seconds))
        with tempfile.TemporaryDirectory(prefix="tarebook-torture-") as place:
            for row in PARTS[name](Path(place) / name, seed, size, clock):
                print(line(row), flush=True)
                rows.append(row)
    return rows


def main() -> int:
    """Torture and print; 1 if a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--only", choices=list(PARTS), nargs="*", default=[])
    parser.add_argument("--page", action="store_true")
    given = parser.parse_args()
    size = Size.of(given.minutes)
    rows = torture(given.seed, size, given.minutes, given.only)
    for row in rows:
        if not row.is_kept:
            print(f"MISSED: {row.what}")
        if not row.is_quick:
            print(f"TOO SLOW: {row.what}")
        if not row.is_whole:
            print(f"CUT SHORT, {row.times} of {row.asked}: {row.what}")
    if given.page:
        write_page(rows, given.seed, given.minutes)
    return 0 if all(row.is_kept and row.is_quick for row in rows) else 1


if __name__ == "__main__":
    with contextlib.suppress(KeyboardInterrupt):
        sys.exit(main())
