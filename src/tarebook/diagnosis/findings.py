"""A finding: something the checks noticed, with its evidence and what to do now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from tarebook.records.readings import Quantity


class Severity(StrEnum):
    """How much a finding matters.

    stop: the answer cannot be trusted until this is settled. look: worth a look while the cup still
    stands there. note: good to know.
    """

    STOP = "stop"
    LOOK = "look"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something the checks noticed. Nothing is ever changed because of it.

    Attributes
    ----------
    code : str
        Short name, the heading under which the documentation explains it.
    severity : Severity
    message : str
        One sentence: what is odd.
    do : str
        What to do now.
    run : str
        Empty for a finding about the whole series.
    reading : str
        Column of `readings.csv`; empty for a finding that is not about one reading.
    runs : tuple of str
        All runs that it is about, where they are more than `run` or where `run` cannot say it.
    readings : tuple of (str, Quantity)
        Run and column of each reading that should not be used while the finding stands.
    evidence : mapping of str to float or str
        The numbers it rests on; names carry their unit.
    """

    code: str
    severity: Severity
    message: str
    do: str
    run: str = ""
    reading: str = ""
    runs: tuple[str, ...] = ()
    readings: tuple[tuple[str, Quantity], ...] = ()
    evidence: Mapping[str, float | str] = field(default_factory=dict)

    @property
    def all_runs(self) -> tuple[str, ...]:
        """The runs that it is about; none for a finding about the whole series."""
        return self.runs or ((self.run,) if self.run else ())
