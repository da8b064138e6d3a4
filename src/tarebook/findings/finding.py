"""A finding: something that was noticed, with its evidence and what to do now; no text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from tarebook.core.phrase import Phrase, Value
from tarebook.records.readings import Quantity


class Severity(StrEnum):
    """How much a finding matters.

    stop: the answer cannot be trusted until this is settled. look: worth a look while the cup still
    stands there. note: good to know.
    """

    STOP = "stop"
    LOOK = "look"
    NOTE = "note"


_ORDER = {Severity.STOP: 0, Severity.LOOK: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something that was noticed. Nothing is ever changed because of it.

    The sentence is made from the code and the values where it is shown; so is what to do, unless
    `do` says it.

    Attributes
    ----------
    code : str
        Key of its sentence in the catalogue, and the heading under which the documentation explains
        it.
    severity : Severity
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
    values : mapping of str to Value
        What the sentences need besides the evidence.
    do : Phrase or None
        What to do now, where that is not always the same for the code.
    """

    code: str
    severity: Severity
    run: str = ""
    reading: str = ""
    runs: tuple[str, ...] = ()
    readings: tuple[tuple[str, Quantity], ...] = ()
    evidence: Mapping[str, float | str] = field(default_factory=dict)
    values: Mapping[str, Value] = field(default_factory=dict)
    do: Phrase | None = None

    @property
    def all_runs(self) -> tuple[str, ...]:
        """The runs that it is about; none for a finding about the whole series."""
        return self.runs or ((self.run,) if self.run else ())

    @property
    def phrase(self) -> Phrase:
        """What is odd, without the run that it is about."""
        values = {**self.evidence, **self.values}
        if self.reading:
            values.setdefault("quantity", self.reading)
        return Phrase(self.code, values)


def most_severe_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings sorted by severity; those of one severity keep their order."""
    return tuple(sorted(findings, key=lambda finding: _ORDER[finding.severity]))
