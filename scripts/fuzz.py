"""Definitions and sheets with faults planted by chance, through every command: none may fail us.

    python -m scripts.fuzz                     5,000 cases
    python -m scripts.fuzz --cases 250         fewer
    python -m scripts.fuzz --only 1234         one again, with what was changed and what was said
    python -m scripts.fuzz --seconds 5         quick: what takes longer is stopped and counted, and
                                               can be looked at later with --only

A case begins from one of the examples, the laboratories of the tests or the blank definition, is
changed in one to three places, and goes through one command in a process that is there already. It
fails if the command met an error that nobody foresaw, warned of its own sums, printed a number that
is none, or took longer than it may. The same seed and number give the same case.

Of seed 7 all 5,000 were run, with 10 s for each case; 140 were stopped for their time. What was not
foreseen is mended: 152 (an equivalence point far beyond the row made the chart a billion pixels
wide), 256 and 1074 (a range without an upper end, said as "inf"), 2732 and 3212 (a cup without
sample in a row of which too little is known), 3018 and 4525 (a control character in a name); 4264
was a run called "nan". Each was run again afterwards; all of them, not.
"""

from __future__ import annotations

import argparse
import collections
import contextlib
import csv
import io
import multiprocessing
import os
import re
import shutil
import signal
import sys
import tempfile
import tomllib
import warnings
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from types import FrameType
from typing import TypeVar

import numpy as np
from click.testing import CliRunner

from tarebook import api, cli
from tarebook.api.unforeseen import REPORTS_GO_TO

ROOT = Path(__file__).parents[1]
Item = TypeVar("Item")

SEED = 7
CASES = 5_000
SECONDS = 60.0
"""Of processor time that one command may take."""

CASES_OF_A_PROCESS = 100
"""After so many a process makes room for a new one, so that none grows."""

FORESEEN = (0, 1, 2)
"""Exit codes: done, done with a finding that says stop, refused in plain words."""

COMMANDS: tuple[tuple[tuple[str, ...], int], ...] = (
    (("check",), 6),
    (("check", "--json"), 2),
    (("reduce", "--draws", "1000"), 5),
    (("reduce", "--json", "--draws", "1000"), 3),
    (("plan",), 2),
    (("plan", "--json", "--runs", "6"), 1),
    (("prepare", "--groups", "2"), 1),
    (("report", "--draws", "1000"), 2),
    (("import",), 1),
    (("export",), 1),
    (("verify",), 1),
    (("backup",), 1),
)
"""Each command with how often it is taken."""

NUMBERS = (
    "0", "-1", "0.0", "1e-300", "1e308", "-1e308", "1e-7", "1e7", "5e-324", "inf", "nan", "-0.0",
    "9" * 4300, "1_000", "0x10", "true", '"1.5"', "[]", "{}", "[1.0]", "1979-05-27", "",
)  # fmt: skip
TEXTS = (
    '""', '"' + "x" * 5000 + '"', '"\\u0000"', '"=1+1"', '"NaHCO3"', '"HCl"', '"MgCO3"', '"Zn"',
    '"unknown"', '"none"', '"H2"', '"CO2"', '"each cup"', '"zeroed on the cup"', '"dilution"',
    '"burette"', '"volumetric pipette"', '"mass percent"', "1", "[]", '["1"]', '"\\n\\n"', '"ß👍"',
    '"start and end"', '"holder before and after"', '"de"', '"CaCO3 + HCl -> CaCl2 + H2O + CO2"',
    '"Mg + 2 HCl -> MgCl2 + H2"', '"A -> B"', '"C6H8O7"', '"2"',
)  # fmt: skip
CELLS = (
    "", "0", "0.000", "-1", "-0.001", "1e-7", "1e7", "300", "99999", "1e300", "nan", "1,5", "20+15",
    "0+0", "=1+1", "@a", "9" * 300, "0.0000001", "1.", "+5", "x", "100", "21 °C", "1e-320",
)  # fmt: skip
FACTORS = (10.0, 0.1, 1000.0, 0.001, 2.0, 0.5, -1.0, 0.0, 100.0, 1.01)
# A run may be called "nan".
NO_NUMBER = re.compile(r"(?<![\w-])(?<![Rr]un )(?<!\"run\": \")(nan|-?inf|NaN|-?Infinity)(?![\w-])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One try: what lies in the folder, what was changed in it, which command it meets."""

    number: int
    base: str
    changes: tuple[str, ...]
    definition: str
    readings: str
    command: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a case ended; `fault` is empty where all is well, or where it was `stopped` early."""

    case: Case
    exit_code: int
    fault: str
    said: str
    stopped: bool = False


class _TooLongError(BaseException):
    """A command took longer than it may; no handler of the program may take it for its own."""


@cache
def bases() -> tuple[tuple[str, str, str], ...]:
    """Return name, definition and readings of what cases begin from."""
    folders = sorted(path.parent for path in ROOT.glob("examples/*/experiment.toml"))
    found = [(f.name, _text(f / "experiment.toml"), _text(f / "readings.csv")) for f in folders]
    pool = _text(ROOT / "tests/snapshots/pool/readings.csv")
    laboratories = sorted(ROOT.glob("tests/laboratories/*/experiment.toml"))
    found += [(path.parent.name, _text(path), pool) for path in laboratories]
    with tempfile.TemporaryDirectory() as place:
        made = api.start(Path(place) / "blank")
        found.append(("blank", _text(made[0]), _text(made[1])))
    return tuple(found)


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def make_case(number: int, seed: int = SEED) -> Case:
    """Return the case of a number."""
    rng = np.random.default_rng([seed, number])
    base, definition, readings = _any(rng, bases())
    weights = np.array([weight for _, weight in COMMANDS], dtype=float)
    command = COMMANDS[int(rng.choice(len(COMMANDS), p=weights / weights.sum()))][0]
    changes: list[str] = []
    for _ in range(int(rng.integers(1, 4))):
        if rng.random() < 0.5:
            definition, what = _change_definition(rng, definition)
        else:
            readings, what = _change_sheet(rng, readings)
        changes.append(what)
    return Case(
        number=number,
        base=base,
        changes=tuple(changes),
        definition=definition,
        readings=readings,
        command=command,
    )


def _any(rng: np.random.Generator, of: Sequence[Item]) -> Item:
    return of[int(rng.integers(len(of)))]


def _change_definition(rng: np.random.Generator, text: str) -> tuple[str, str]:
    lines = text.splitlines()
    keys = [i for i, line in enumerate(lines) if re.match(r"\w+ *=", line)]
    heads = [i for i, line in enumerate(lines) if line.startswith("[")]
    if not keys or not heads or rng.random() < 0.02:
        cut = int(rng.integers(len(text) + 1))
        return text[:cut], f"definition cut at {cut}"
    at = _any(rng, keys)
    key, _, value = (part.strip() for part in lines[at].partition("="))
    dice = rng.random()
    if dice < 0.08:
        what = lines.pop(at)
        return _joined(lines), f"without {what!r}"
    if dice < 0.12:
        head = _any(rng, heads)
        what = lines.pop(head)
        return _joined(lines), f"without {what!r}"
    if dice < 0.16:
        lines.insert(_any(rng, heads) + 1, lines[at])
        return _joined(lines), f"{key} elsewhere too"
    if dice < 0.22:
        other = _any(rng, keys)
        name = lines[other].partition("=")[0].strip()
        lines[at] = f"{key} = {lines[other].partition('=')[2].strip()}"
        return _joined(lines), f"{key} with the value of {name}"
    lines[at] = f"{key} = {_value(rng, value)}"
    return _joined(lines), lines[at][:120]


def _value(rng: np.random.Generator, value: str) -> str:
    try:
        found = tomllib.loads(f"x = {value}")["x"]
    except tomllib.TOMLDecodeError:
        return _any(rng, NUMBERS)
    if isinstance(found, list) and found and not isinstance(found[0], dict):
        parts = [_literal(part) for part in found]
        at = int(rng.integers(len(parts)))
        parts[at] = _value(rng, parts[at])
        if rng.random() < 0.2:
            parts = parts * int(rng.integers(0, 40))
        return f"[{', '.join(parts)}]"
    if isinstance(found, int | float) and not isinstance(found, bool) and rng.random() < 0.6:
        return repr(float(found) * _any(rng, FACTORS))
    return _any(rng, TEXTS if isinstance(found, str) else NUMBERS)


def _literal(value: object) -> str:
    return '"' + value + '"' if isinstance(value, str) else repr(value)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet in work: its rows, and where in it something is to be changed."""

    rng: np.random.Generator
    rows: list[list[str]]
    row: int
    column: int

    @property
    def lines(self) -> list[list[str]]:
        """All rows of readings, or the one."""
        return self.rows[1:] if self.rng.random() < 0.5 else [self.rows[self.row]]


def _change_sheet(rng: np.random.Generator, text: str) -> tuple[str, str]:
    rows = list(csv.reader(io.StringIO(text)))
    if len(rows) < 2 or not rows[0] or rng.random() < 0.02:
        cut = int(rng.integers(len(text) + 1))
        return text[:cut], f"sheet cut at {cut}"
    sheet = _Sheet(rng, rows, int(rng.integers(1, len(rows))), int(rng.integers(len(rows[0]))))
    place = f"row {sheet.row}, column {rows[0][sheet.column]}"
    what = _any(rng, _SHEET_CHANGES)(sheet)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue(), f"{place}: {what}"


def _put(line: list[str], column: int, value: str) -> None:
    if column < len(line):
        line[column] = value


def _cell(sheet: _Sheet) -> str:
    value = _any(sheet.rng, CELLS)
    _put(sheet.rows[sheet.row], sheet.column, value)
    return f"cell {value[:20]!r}"


def _column(sheet: _Sheet) -> str:
    value = _any(sheet.rng, CELLS)
    for line in sheet.rows[1:]:
        _put(line, sheet.column, value)
    return f"column {value[:20]!r}"


def _scaled(sheet: _Sheet) -> str:
    factor = _any(sheet.rng, FACTORS)
    lines = sheet.lines
    for line in lines:
        with contextlib.suppress(ValueError, IndexError):
            _put(line, sheet.column, f"{float(line[sheet.column]) * factor:.6g}")
    return f"{len(lines)} times {factor:g}"


def _rows_gone(sheet: _Sheet) -> str:
    kept = int(sheet.rng.integers(0, len(sheet.rows) - 1))
    del sheet.rows[1 + kept :]
    return f"{kept} rows kept"


def _row_blank(sheet: _Sheet) -> str:
    line = sheet.rows[sheet.row]
    line[1:] = [""] * (len(line) - 1)
    return "row blank"


def _column_gone(sheet: _Sheet) -> str:
    for line in sheet.rows:
        del line[sheet.column : sheet.column + 1]
    return "column gone"


def _swapped(sheet: _Sheet) -> str:
    other, column = int(sheet.rng.integers(len(sheet.rows[0]))), sheet.column
    for line in sheet.lines:
        if max(other, column) < len(line):
            line[column], line[other] = line[other], line[column]
    return f"swapped with {sheet.rows[0][other]}"


def _again(sheet: _Sheet) -> str:
    sheet.rows[0].append(f"{sheet.rows[0][sheet.column]}_2")
    for line in sheet.rows[1:]:
        there = sheet.column < len(line) and sheet.rng.random() < 0.7
        line.append(line[sheet.column] if there else "")
    return "read twice"


def _more_rows(sheet: _Sheet) -> str:
    more = int(sheet.rng.integers(1, 25))
    sheet.rows.extend([[f"={n}", *sheet.rows[sheet.row][1:]] for n in range(more)])
    return f"{more} more rows"


def _one_value(sheet: _Sheet) -> str:
    for line in sheet.rows[1:]:
        if sheet.column < len(sheet.rows[sheet.row]):
            _put(line, sheet.column, sheet.rows[sheet.row][sheet.column])
    return "the same in all rows"


def _zeroed(sheet: _Sheet) -> str:
    names = ("tare_g", "vessel_liquid_g", "final_g")
    if any(name not in sheet.rows[0] for name in names):
        return "nothing"
    tare, *others = (sheet.rows[0].index(name) for name in names)
    for line in sheet.lines:
        with contextlib.suppress(ValueError, IndexError):
            least = float(line[tare])
            for other in others:
                line[other] = f"{float(line[other]) - least:.3f}"
            line[tare] = "0.000"
    return "zeroed on the cup"


_SHEET_CHANGES: tuple[Callable[[_Sheet], str], ...] = (
    _cell, _cell, _cell, _column, _scaled, _scaled, _rows_gone, _row_blank, _column_gone, _swapped,
    _again, _more_rows, _one_value, _zeroed,
)  # fmt: skip


def _joined(lines: list[str]) -> str:
    return "\n".join(lines) + "\n"


def run_case(case: Case, place: Path, seconds: float = SECONDS) -> Ended:
    """Run a case in a folder of its own and say how it ended.

    Parameters
    ----------
    case : Case
    place : Path
        An empty folder.
    seconds : float
        Of processor time that the command may take.
    """
    folder, reports = place / "it", place / "reports"
    folder.mkdir()
    reports.mkdir()
    (folder / "experiment.toml").write_text(case.definition, encoding="utf-8")
    (folder / "readings.csv").write_text(case.readings, encoding="utf-8")
    os.environ[REPORTS_GO_TO] = str(reports)
    said, exit_code, fault, stopped = "", 0, "", False
    for command in _commands(case, folder, place):
        with warnings.catch_warnings(record=True) as warned:
            warnings.simplefilter("always")
            try:
                with _Limit(seconds):
                    result = CliRunner().invoke(cli.main, list(command))
                said, exit_code = result.output, result.exit_code
            except _TooLongError:
                stopped = seconds < SECONDS
                fault = "" if stopped else f"longer than {seconds:g} s"
        fault = fault or _fault(exit_code, said, warned, reports)
        if fault or stopped:
            break
    return Ended(case=case, exit_code=exit_code, fault=fault, said=said, stopped=stopped)


def _commands(case: Case, folder: Path, place: Path) -> list[tuple[str, ...]]:
    """Return the command of a case, after what must have gone before it."""
    name, *options = case.command
    bring = ("import", str(folder), str(folder / "readings.csv"))
    if name == "import":
        return [bring, ("check", str(folder))]
    if name in ("export", "verify"):
        return [bring, (name, str(folder))]
    if name == "backup":
        archive, other = str(place / "all.zip"), str(place / "other")
        return [bring, (name, str(folder), archive), ("import", other, archive)]
    return [(name, str(folder), *options)]


def _fault(exit_code: int, said: str, warned: list[warnings.WarningMessage], reports: Path) -> str:
    for report in reports.iterdir():
        lines = _text(report).splitlines()
        kind = next(line for line in lines if line.startswith("error: "))
        ours = [line.strip() for line in lines if line.startswith("  tarebook")]
        return f"{kind}: {' < '.join(reversed(ours[-3:]))}"
    if exit_code not in FORESEEN:
        return f"exit code {exit_code}"
    if "Traceback" in said:
        return "a trace"
    if warned:
        one = warned[0]
        return f"warns: {one.message} ({Path(one.filename).name}, line {one.lineno})"
    wrong = NO_NUMBER.search(said) if exit_code != 2 else None
    return f"prints {wrong[0]}" if wrong else ""


class _Limit:
    """Lets what is in the block take so much processor time and no more."""

    def __init__(self, seconds: float) -> None:
        self.seconds = seconds

    def __enter__(self) -> None:
        def stop(_number: int, _frame: FrameType | None) -> None:
            raise _TooLongError

        signal.signal(signal.SIGPROF, stop)
        signal.setitimer(signal.ITIMER_PROF, self.seconds)

    def __exit__(self, *_: object) -> None:
        signal.setitimer(signal.ITIMER_PROF, 0.0)


def run_number(number: int, seed: int = SEED, seconds: float = SECONDS) -> Ended:
    """Return how the case of a number ended."""
    place = Path(tempfile.mkdtemp(prefix="tarebook-fuzz-"))
    try:
        return run_case(make_case(number, seed), place, seconds)
    finally:
        shutil.rmtree(place, ignore_errors=True)


def run_cases(
    numbers: Iterable[int], seed: int = SEED, seconds: float = SECONDS, jobs: int = 1
) -> Iterator[Ended]:
    """Yield how each case ended, in the order in which they are done.

    Parameters
    ----------
    numbers : iterable of int
    seed : int
    seconds : float
        Of processor time that each may take.
    jobs : int
        Processes that work side by side.
    """
    one = partial(run_number, seed=seed, seconds=seconds)
    bases()
    context = multiprocessing.get_context("fork")
    with context.Pool(jobs, maxtasksperchild=CASES_OF_A_PROCESS) as pool:
        yield from pool.imap_unordered(one, numbers)


def shown(ended: Ended) -> str:
    """Return a case that failed, for whoever mends it."""
    case = ended.case
    changes = "; ".join(case.changes)
    return f"{case.number} {' '.join(case.command)} on {case.base} [{changes}]\n    {ended.fault}"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=CASES)
    parser.add_argument("--from", dest="first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--only", type=int)
    asked = parser.parse_args()
    if asked.only is not None:
        ended = run_number(asked.only, asked.seed)
        print(shown(ended), f"exit code {ended.exit_code}", ended.said, sep="\n")
        return
    codes: collections.Counter[tuple[str, int]] = collections.Counter()
    faults: list[Ended] = []
    stopped: list[int] = []
    numbers = range(asked.first, asked.first + asked.cases)
    for ended in run_cases(numbers, asked.seed, asked.seconds, asked.jobs):
        if ended.stopped:
            stopped.append(ended.case.number)
            continue
        codes[ended.case.command[0], ended.exit_code] += 1
        if ended.fault:
            faults.append(ended)
            print(shown(ended), flush=True)
    print(f"{sum(codes.values())} cases, {len(faults)} not foreseen")
    if stopped:
        print(f"{len(stopped)} stopped after {asked.seconds:g} s: {sorted(stopped)}")
    for name in sorted({name for name, _ in codes}):
        counts = ", ".join(f"{codes[name, c]} with exit code {c}" for c in FORESEEN)
        print(f"  {name}: {counts}")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
