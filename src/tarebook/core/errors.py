"""Every error that is raised on purpose.

The tree::

    TarebookError
        OutOfRangeError (ValueError)     a number outside the range where a formula holds
        InputError (ValueError)          a sheet or a definition with faults: all of them at once
        CannotWriteError (OSError)       a result could not be put where it was wanted

Only the edges (the command line, later the pages) turn one of these into text.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from tarebook.core.arrays import BoolArray


class TarebookError(Exception):
    """Base of every error raised on purpose; only the edges turn it into text or JSON."""

    code: ClassVar[str] = "error"


class OutOfRangeError(TarebookError, ValueError):
    """A quantity lies outside the range where the formula or the instrument is valid.

    Parameters
    ----------
    name : str
        What the number is, in the words of the trade.
    value : float
        What was found.
    unit : str
        Unit of `value`; ``"1"`` for a pure number.
    allowed : str
        The range that is allowed, as a reader would write it.
    fix : str, optional
        What to do about it.

    Examples
    --------
    >>> print(OutOfRangeError("temperature", 54.0, "degC", "[0, 40]", "Is it in degF?"))
    temperature = 54 degC is outside [0, 40]. Is it in degF?
    """

    code: ClassVar[str] = "out-of-range"
    beyond: BoolArray | None = None
    """Where in arrays that were given together, if the one who found it knows; it may not be all
    of it."""

    def __init__(self, name: str, value: float, unit: str, allowed: str, fix: str = "") -> None:
        super().__init__(name, value, unit, allowed, fix)
        self.name, self.value, self.unit, self.allowed, self.fix = name, value, unit, allowed, fix

    @property
    def found(self) -> str:
        """What was found, with its unit."""
        unit = "" if self.unit == "1" else f" {self.unit}"
        return f"{self.name} = {self.value:g}{unit}"

    def __str__(self) -> str:
        return f"{self.found} is outside {self.allowed}. {self.fix}".rstrip()


class AskedFor(StrEnum):
    """What is asked of an action beside its folder; where it is asked it has a name of its own."""

    ADDRESS = "address of the recorder"
    BALANCES = "number of balances"
    DATE = "day of the lesson"
    DRAWS = "number of draws"
    EVERY_GROUP = "every group"
    EXAMPLE = "example"
    GROUP = "group"
    GROUPS = "number of groups"
    LANGUAGE = "language of the sheets"
    SEED = "seed"
    TIME = "start of the lesson"
    WHO = "who"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that is wrong with an input.

    Attributes
    ----------
    where : str
        Place a person can go to: file, then row and column, or key; `AskedFor` where it is no file
        but something that was asked for.
    found : str
        What stands there.
    allowed : str
        What may stand there.
    do : str
        What to do about it.
    """

    where: str
    found: str
    allowed: str
    do: str = ""

    def __str__(self) -> str:
        text = f"{self.where}: found {self.found}; allowed: {self.allowed}."
        return f"{text} {self.do}".rstrip()


class InputError(TarebookError, ValueError):
    """An input that cannot be used, with every fault that was found in it.

    Parameters
    ----------
    faults : iterable of Fault
        At least one.

    Examples
    --------
    >>> fault = Fault(where="readings.csv, row 3, column sample_g", found="'1,52'",
    ...               allowed="a number", do="Write 1.52.")
    >>> print(InputError([fault]))
    1 fault in the input; nothing was written.
      readings.csv, row 3, column sample_g: found '1,52'; allowed: a number. Write 1.52.
    """

    code: ClassVar[str] = "input"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        if not self.faults:
            raise ValueError("an InputError needs at least one fault")
        super().__init__(self.faults)

    def __str__(self) -> str:
        count = len(self.faults)
        head = f"{count} fault{'s' if count > 1 else ''} in the input; nothing was written."
        return "\n".join([head, *(f"  {fault}" for fault in self.faults)])


def faults_of(error: TarebookError, where: str) -> tuple[Fault, ...]:
    """Return the faults that an error reports, as seen from a place that it does not know itself.

    Parameters
    ----------
    error : TarebookError
    where : str
        File and key, or file, row and column.

    Examples
    --------
    >>> error = OutOfRangeError("density", 12.0, "g/mL", "(0.5, 2.5)", "Is it in g/L?")
    >>> print(faults_of(error, "experiment.toml, key reagent")[0])
    experiment.toml, key reagent: found density = 12 g/mL; allowed: (0.5, 2.5). Is it in g/L?
    """
    if isinstance(error, InputError):
        return tuple(
            Fault(
                where=f"{where}.{fault.where}" if fault.where else where,
                found=fault.found,
                allowed=fault.allowed,
                do=fault.do,
            )
            for fault in error.faults
        )
    if isinstance(error, OutOfRangeError):
        return (Fault(where=where, found=error.found, allowed=error.allowed, do=error.fix),)
    message = " ".join(str(error).split("\n"))
    return (Fault(where=where, found="something that cannot be used", allowed=message),)


class CannotWriteError(TarebookError, OSError):
    """A result could not be put where it was wanted; what stood there before is untouched.

    Parameters
    ----------
    path : str
        Where it should have gone.
    reason : str
        Why it could not, in plain words.
    fix : str
        What to do about it.
    """

    code: ClassVar[str] = "cannot-write"

    def __init__(self, path: str, reason: str, fix: str) -> None:
        super().__init__(path, reason, fix)
        self.path, self.reason, self.fix = path, reason, fix

    def __str__(self) -> str:
        return f"{self.path} cannot be written: {self.reason}. Nothing was changed. {self.fix}"
