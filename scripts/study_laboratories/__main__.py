"""Run the matrix of laboratories; exit code 1 if a bound is broken."""

from __future__ import annotations

import argparse
import os
import sys

# The matrices of a fit are small: threads inside the linear algebra only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from pathlib import Path

from scripts.study_laboratories.agreement import agreement
from scripts.study_laboratories.laboratory import LABORATORIES, TOP, Laboratory, laboratories
from scripts.study_laboratories.page import apart, page, plans_table
from scripts.study_laboratories.physics import PHYSICS
from scripts.study_laboratories.plans import judged
from scripts.study_laboratories.series import many
from scripts.study_laboratories.tally import Line, line_of
from scripts.study_laboratories.words import broken, codes, table

PAGE = TOP / "docs" / "studies" / "laboratories.md"

SEED = 20
SERIES = 200
"""Of each laboratory and physics."""


def main() -> int:
    """Run the study; 1 if a bound is broken."""
    given = _arguments().parse_args()
    if given.page and (given.only or given.physics or given.no_plans):
        raise SystemExit(
            "The page is of every laboratory and physics: leave the other options out."
        )
    chosen = _chosen(laboratories(given.folder), given.only)
    numbers = range(given.first, given.first + given.series)
    lines: list[Line] = []
    for physics in [given.physics] if given.physics else PHYSICS:
        for laboratory in chosen:
            found = many(laboratory, physics, given.seed, numbers, given.processes)
            lines.append(line_of(laboratory.name, physics, found))
            print(".", end="", file=sys.stderr, flush=True)
        print(file=sys.stderr)
    plans = {} if given.no_plans else {lab.name: judged(lab, given.seed) for lab in chosen}
    for physics in dict.fromkeys(line.physics for line in lines):
        print(f"\n{PHYSICS[physics].words}\n")
        print(table((line for line in lines if line.physics == physics), plans))
    agreements = {lab.name: agreement(lab) for lab in chosen} if plans else {}
    if plans:
        print(f"\n{plans_table(chosen, plans, agreements)}")
    if given.codes:
        print(f"\n{codes(lines)}")
    if given.page:
        made = page(chosen, lines, plans, agreements, given.seed, given.series)
        PAGE.write_text(made, encoding="utf-8")
        print(f"{PAGE.relative_to(TOP)} written.")
    missed = [*broken(lines, plans), *apart(agreements)]
    for what in missed:
        print(f"Broken: {what}.", file=sys.stderr)
    return 1 if missed else 0


def _arguments() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m scripts.study_laboratories", description=__doc__
    )
    parser.add_argument(
        "--only", action="append", default=[], help="a laboratory, or part of its name"
    )
    parser.add_argument("--series", type=int, default=SERIES, help="of each laboratory and physics")
    parser.add_argument("--first", type=int, default=0, help="number of the first series")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--codes", action="store_true", help="which findings struck clean series")
    parser.add_argument("--physics", choices=list(PHYSICS), help="else every one")
    parser.add_argument("--no-plans", action="store_true", help="do not ask the plan")
    parser.add_argument("--page", action="store_true", help="write docs/studies/laboratories.md")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--folder", type=Path, default=LABORATORIES, help="of the laboratories")
    return parser


def _chosen(every: tuple[Laboratory, ...], only: list[str]) -> list[Laboratory]:
    chosen = [lab for lab in every if not only or any(part in lab.name for part in only)]
    if not chosen:
        names = ", ".join(lab.name for lab in every)
        raise SystemExit(f"No laboratory is named like that; there are {names}.")
    return chosen


if __name__ == "__main__":
    sys.exit(main())
