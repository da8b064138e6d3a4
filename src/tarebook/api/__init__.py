"""The Python API: one function per user action, and the types they take and give.

Drawing, typesetting and workbooks are heavy to import and not every action needs them, so `report`
imports them when it is called.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

from tarebook.api.check_class import check_class
from tarebook.api.plan import findings_of_plan, plan, plan_as_text, wishes, write_plan
from tarebook.api.reduce import DEFAULT_SEED, check, load, must_stop, reduce
from tarebook.api.start import example_names, start
from tarebook.api.unforeseen import Unforeseen, fault_code, note_unforeseen
from tarebook.core.errors import CannotWriteError, Fault, InputError, OutOfRangeError, TarebookError
from tarebook.core.version import VERSION
from tarebook.diagnosis.findings import Finding, Severity
from tarebook.planning.wishes import ImpossibleWishError, PlanBeyondModelError
from tarebook.reduction.usual_series import DEFAULT_DRAWS
from tarebook.report.outcome import Outcome
from tarebook.report.payload import Json, findings_payload, payload, source_payload
from tarebook.report.plan_payload import plan_payload
from tarebook.report.rests_on import readings_used

if TYPE_CHECKING:
    from tarebook.api.write_report import Written
    from tarebook.api.write_sheets import Preparations

__all__ = [
    "DEFAULT_DRAWS",
    "DEFAULT_SEED",
    "VERSION",
    "CannotWriteError",
    "Fault",
    "Finding",
    "ImpossibleWishError",
    "InputError",
    "Json",
    "OutOfRangeError",
    "Outcome",
    "PlanBeyondModelError",
    "Severity",
    "TarebookError",
    "Unforeseen",
    "as_text",
    "check",
    "check_class",
    "class_as_text",
    "example_names",
    "fault_code",
    "findings_as_text",
    "findings_of_plan",
    "findings_payload",
    "load",
    "must_stop",
    "note_unforeseen",
    "payload",
    "plan",
    "plan_as_text",
    "plan_payload",
    "prepare",
    "readings_used",
    "reduce",
    "report",
    "source_payload",
    "start",
    "wishes",
    "write_plan",
]

Paper: TypeAlias = Literal["a4", "letter"]

Language: TypeAlias = Literal["en", "de"]


def prepare(
    folder: Path,
    *,
    groups: int,
    date: str,
    time: str = "",
    paper: Paper = "a4",
    language: Language | None = None,
    balances: int = 1,
    address: str = "",
    seed: int = DEFAULT_SEED,
    progress: Callable[[str], None] = lambda _: None,
) -> Preparations:
    """Write what is printed before a lesson; see `tarebook.api.write_sheets.prepare`."""
    from tarebook.api.write_sheets import prepare as write_sheets

    return write_sheets(
        folder,
        groups=groups,
        date=date,
        time=time,
        paper=paper,
        language=language,
        balances=balances,
        address=address,
        seed=seed,
        progress=progress,
    )


def report(
    folder: Path,
    *,
    group: str = "",
    paper: Paper = "a4",
    seed: int = DEFAULT_SEED,
    draws: int | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> Written:
    """Write the report of a folder; see `tarebook.api.write_report.report`."""
    from tarebook.api.write_report import report as write_report

    return write_report(folder, group=group, paper=paper, seed=seed, draws=draws, progress=progress)


def as_text(outcome: Outcome, *, colour: bool = False, width: int = 80) -> str:
    """Return a reduced experiment as a table for a terminal."""
    from tarebook.report.handover.text import handover_text
    from tarebook.report.text import text

    if outcome.handover is not None and not outcome.stage.has_results:
        return handover_text(outcome, outcome.handover, colour=colour, width=width)
    return text(outcome, colour=colour, width=width)


def class_as_text(
    found: Mapping[str, Iterable[Finding]], *, colour: bool = False, width: int = 80
) -> str:
    """Return the findings of all groups as a list for a terminal, notes left out."""
    odd = {
        name: [finding for finding in findings if finding.severity is not Severity.NOTE]
        for name, findings in found.items()
    }
    parts = [
        f"Group {name}\n{findings_as_text(findings, colour=colour, width=width)}"
        for name, findings in odd.items()
        if findings
    ]
    clean = [name for name, findings in odd.items() if not findings]
    if clean:
        parts.append(f"Nothing to stop or to look at: {', '.join(clean)}.\n")
    return "\n".join(parts)


def findings_as_text(findings: Iterable[Finding], *, colour: bool = False, width: int = 80) -> str:
    """Return findings as a list for a terminal."""
    from tarebook.report.text import findings_text

    return findings_text(findings, colour=colour, width=width)
