"""What becomes of an error that nobody foresaw: a code, a sentence, a file to send.

The file holds no readings, no names, no secrets and no places on the disk: of the error only its
type, never its message, and of the program only where it was.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import platform
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from types import TracebackType
from typing import Final

from tarebook.core.version import VERSION

REPORTS_GO_TO: Final = "TAREBOOK_FAULT_REPORTS"
"""Environment variable with the folder for the reports, where another one is wanted."""

MOST_STEPS: Final = 60
"""Steps of the program that a report lists: a recursion has thousands, all alike."""

_OURS = "tarebook"
_BESIDES = ("numpy", "click", "starlette", "sqlalchemy", "pydantic")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unforeseen:
    """A fault of the program, as a person is told of it.

    Attributes
    ----------
    code : str
        The same for the same fault, whatever the readings.
    report : Path or None
        The file that may be sent; None where none could be written.
    """

    code: str
    report: Path | None

    @property
    def message(self) -> str:
        """What happened, in one sentence."""
        return f"Tarebook made a mistake of its own (code {self.code})."

    @property
    def do(self) -> str:
        """What to do about it."""
        if self.report is None:
            return f"Please report it with the code {self.code}: no report file could be written."
        return (
            f"What happened stands in {self.report}, without readings, names or secrets: look "
            "at it, and send it to those who look after the program."
        )

    def __str__(self) -> str:
        return f"{self.message} {self.do}"


def note_unforeseen(error: BaseException, doing: str, folder: Path) -> Unforeseen:
    """Write the report of an error that nobody foresaw and return what to say of it.

    Parameters
    ----------
    error : BaseException
    doing : str
        The command or the address that was asked for, without what was typed after it.
    folder : Path
        Where the report goes if it can be written there; else where the system keeps what is of
        the moment. `TAREBOOK_FAULT_REPORTS` names another place.

    Returns
    -------
    Unforeseen
    """
    code = fault_code(error)
    text = fault_report(error, doing)
    wanted = os.environ.get(REPORTS_GO_TO)
    places = [Path(wanted)] if wanted else [folder, Path(tempfile.gettempdir())]
    return Unforeseen(code=code, report=_written(text, f"tarebook-fault-{code}.txt", places))


def fault_code(error: BaseException) -> str:
    """Return the code of a fault: of its kind and of the place in the program where it arose.

    Examples
    --------
    >>> fault_code(ZeroDivisionError("1.234 g")) == fault_code(ZeroDivisionError("5.678 g"))
    True
    """
    ours = [step for step in _steps(error.__traceback__) if step.module.startswith(_OURS)]
    place = f"{ours[-1].module}:{ours[-1].function}" if ours else ""
    return hashlib.sha256(f"{_kind(error)} {place}".encode()).hexdigest()[:6].upper()


def fault_report(error: BaseException, doing: str) -> str:
    """Return the text of a report.

    Parameters
    ----------
    error : BaseException
    doing : str
        The command or the address that was asked for, without what was typed after it.
    """
    lines = [
        "Tarebook met an error that it did not foresee.",
        "This file holds no readings, names, codes or secrets.",
        "",
        f"code: {fault_code(error)}",
        f"doing: {doing}",
        f"tarebook: {VERSION}",
        f"python: {platform.python_version()} on {platform.system()} {platform.machine()}",
        *(f"{name}: {_version(name)}" for name in _BESIDES),
    ]
    seen: BaseException | None = error
    for _ in range(10):
        if seen is None:
            break
        steps = list(_steps(seen.__traceback__))
        lines += ["", f"error: {_kind(seen)}"]
        if len(steps) > MOST_STEPS:
            lines.append(f"  ({len(steps) - MOST_STEPS} earlier steps left out)")
        lines += [f"  {s.module}, {s.function}, line {s.line}" for s in steps[-MOST_STEPS:]]
        seen = seen.__cause__ or seen.__context__
    return "\n".join(lines) + "\n"


@dataclass(frozen=True, slots=True)
class _Step:
    module: str
    function: str
    line: int


def _steps(trace: TracebackType | None) -> Iterator[_Step]:
    while trace is not None:
        frame = trace.tb_frame
        module = str(frame.f_globals.get("__name__", "?"))
        yield _Step(module, frame.f_code.co_name, trace.tb_lineno)
        trace = trace.tb_next


def _kind(error: BaseException) -> str:
    return f"{type(error).__module__}.{type(error).__qualname__}"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not found"


def _written(text: str, name: str, places: list[Path]) -> Path | None:
    for place in places:
        path = place / name
        try:
            # The same fault needs no second report, and a page that is tried again no second file.
            with contextlib.suppress(FileExistsError):
                handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
                with os.fdopen(handle, "w", encoding="utf-8") as file:
                    file.write(text)
        except OSError:
            continue
        return path
    return None
