"""The numbers of the examples and of every laboratory of the matrix, held against those of before.

    python -m scripts.numbers_of_before write before.json     on the code as it was
    python -m scripts.numbers_of_before compare before.json   on the code as it is
    ... --but-words                                 sentences may have changed, numbers may not

For a change that may move no number: it prints each value that is another one, or is gone, or is
new, and fails if there is any. Of the examples it takes the readings that ship; of each laboratory
clean series by our own physics and by the other one, as `make study` makes them.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from scripts.study_laboratories.laboratory import EXAMPLES, Laboratory, laboratories
from scripts.study_laboratories.physics import PHYSICS
from scripts.study_laboratories.series import generator

from tarebook.api.reduce_series import FEWEST_DRAWS, load, reduce_table
from tarebook.core.errors import TarebookError
from tarebook.records.readings import RunTable
from tarebook.report.payload import payload
from tarebook.series.experiment import Experiment

SEED = 12
SAME_WITHIN = 1e-9
"""Relative: another order of the same sums moves the last digits."""
MOST_SHOWN = 40

Value = float | str | bool | None
Numbers = dict[str, Value]


def flat(given: object, place: str = "") -> Iterator[tuple[str, Value]]:
    """Yield every value of a payload with the place where it stands."""
    if isinstance(given, Mapping):
        for key, one in given.items():
            yield from flat(one, f"{place}/{key}")
    elif isinstance(given, list | tuple):
        for number, one in enumerate(given):
            yield from flat(one, f"{place}/{number}")
    elif given is None or isinstance(given, str | bool):
        yield place, given
    elif isinstance(given, int | float):
        yield place, float(given)
    else:
        raise TypeError(f"{place} is a {type(given).__name__}")


def same(one: Value, other: Value) -> bool:
    """Return whether two values are the same, but for the last digits."""
    if isinstance(one, float) and isinstance(other, float):
        none = math.isnan(one) and math.isnan(other)
        return none or math.isclose(one, other, rel_tol=SAME_WITHIN, abs_tol=1e-15)
    return type(one) is type(other) and one == other


def without_words(values: Numbers) -> Numbers:
    """Return the values that are no sentences; codes and names of runs are words without blanks."""
    return {k: v for k, v in values.items() if not (isinstance(v, str) and " " in v)}


def differences(before: Numbers, now: Numbers) -> Iterator[str]:
    """Yield what is another value, is gone, or is new; the program's version may be another."""
    for place in sorted(before.keys() | now.keys()):
        if place.endswith("/method/version"):
            continue
        if place not in now:
            yield f"{place}: {before[place]!r} is gone"
        elif place not in before:
            yield f"{place}: {now[place]!r} is new"
        elif not same(before[place], now[place]):
            yield f"{place}: {before[place]!r} is now {now[place]!r}"


def _reduced(name: str, experiment: Experiment, table: RunTable) -> Numbers:
    try:
        outcome = reduce_table(experiment, table, seed=SEED, draws=FEWEST_DRAWS, made_on="")
    except TarebookError as error:
        return {f"{name}/error": error.code}
    return {f"{name}{place}": value for place, value in flat(payload(outcome))}


def of_example(folder: Path) -> Numbers:
    """Return all that is said of the readings that ship with an example."""
    return _reduced(f"example {folder.name}", *load(folder))


def of_laboratory(laboratory: Laboratory) -> Numbers:
    """Return all that is said of a clean series of a laboratory by each physics."""
    found: Numbers = {}
    for physics, made_by in PHYSICS.items():
        _, made = made_by.series(laboratory, generator(laboratory, SEED, 0))
        name = f"laboratory {laboratory.name}, {physics}"
        found |= _reduced(name, laboratory.experiment, made.table)
    return found


def all_numbers(processes: int) -> Numbers:
    """Return all that is said of examples and laboratories."""
    folders = sorted(path.parent for path in EXAMPLES.glob("*/experiment.toml"))
    with ProcessPoolExecutor(processes) as pool:
        parts = [*pool.map(of_example, folders), *pool.map(of_laboratory, laboratories())]
    return {place: value for part in parts for place, value in part.items()}


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("what", choices=("write", "compare"))
    parser.add_argument("file", type=Path)
    parser.add_argument("--but-words", action="store_true")
    parser.add_argument("--jobs", type=int, default=2)
    asked = parser.parse_args()
    now = all_numbers(asked.jobs)
    if asked.what == "write":
        asked.file.write_text(json.dumps(now, indent=0, sort_keys=True), encoding="utf-8")
        print(f"{len(now)} values")
        return
    before: Numbers = json.loads(asked.file.read_text(encoding="utf-8"))
    if asked.but_words:
        before, now = without_words(before), without_words(now)
    found = list(differences(before, now))
    print(*found[:MOST_SHOWN], sep="\n")
    print(f"{len(now)} values, {len(found)} of them not as before")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
