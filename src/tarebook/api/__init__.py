"""The Python API: one function per user action, and the types they take and give.

Each is loaded when it is first asked for: what computes, draws or typesets takes a moment to load,
and not every action needs it.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

from tarebook.core.defaults import DRAWS as DEFAULT_DRAWS
from tarebook.core.defaults import SEED as DEFAULT_SEED

if TYPE_CHECKING:
    from tarebook.api.check_groups import check_class
    from tarebook.api.in_notebook import Shown, as_html, show
    from tarebook.api.in_text import as_text, class_as_text, findings_as_text, in_words, to_do
    from tarebook.api.invent_readings import simulate
    from tarebook.api.plan_row import findings_of_plan, plan, plan_as_text, wishes, write_plan
    from tarebook.api.reduce_series import check, load, must_stop, reduce
    from tarebook.api.start_folder import example_names, start
    from tarebook.api.unforeseen import Unforeseen, fault_code, note_unforeseen
    from tarebook.api.write_report import report
    from tarebook.api.write_sheets import prepare
    from tarebook.core.errors import (
        AskedFor,
        CannotWriteError,
        Fault,
        InputError,
        OutOfRangeError,
        TarebookError,
    )
    from tarebook.core.phrase import Phrase
    from tarebook.core.version import VERSION
    from tarebook.findings.finding import Finding, Severity
    from tarebook.planning.refusals import (
        Amount,
        ImpossibleWishError,
        PlanBeyondModelError,
        Wished,
    )
    from tarebook.report.languages.known import LANGUAGES
    from tarebook.report.languages.words import language_names
    from tarebook.report.outcome import Outcome
    from tarebook.report.payload import Json, findings_payload, payload, source_payload
    from tarebook.report.plan_payload import plan_payload
    from tarebook.report.printing import Paper
    from tarebook.report.refusal_words import number_typed, refusal_in_words
    from tarebook.report.rests_on import readings_used

__all__ = [
    "DEFAULT_DRAWS",
    "DEFAULT_SEED",
    "LANGUAGES",
    "VERSION",
    "Amount",
    "AskedFor",
    "CannotWriteError",
    "Fault",
    "Finding",
    "ImpossibleWishError",
    "InputError",
    "Json",
    "OutOfRangeError",
    "Outcome",
    "Paper",
    "Phrase",
    "PlanBeyondModelError",
    "Severity",
    "Shown",
    "TarebookError",
    "Unforeseen",
    "Wished",
    "as_html",
    "as_text",
    "check",
    "check_class",
    "class_as_text",
    "example_names",
    "fault_code",
    "findings_as_text",
    "findings_of_plan",
    "findings_payload",
    "in_words",
    "language_names",
    "load",
    "must_stop",
    "note_unforeseen",
    "number_typed",
    "payload",
    "plan",
    "plan_as_text",
    "plan_payload",
    "prepare",
    "readings_used",
    "reduce",
    "refusal_in_words",
    "report",
    "show",
    "simulate",
    "source_payload",
    "start",
    "to_do",
    "wishes",
    "write_plan",
]

_WHERE: Final = {
    "api.check_groups": "check_class",
    "api.in_notebook": "Shown as_html show",
    "api.in_text": "as_text class_as_text findings_as_text in_words to_do",
    "api.invent_readings": "simulate",
    "api.plan_row": "findings_of_plan plan plan_as_text wishes write_plan",
    "api.reduce_series": "check load must_stop reduce",
    "api.start_folder": "example_names start",
    "api.unforeseen": "Unforeseen fault_code note_unforeseen",
    "api.write_report": "report",
    "api.write_sheets": "prepare",
    "core.errors": "AskedFor CannotWriteError Fault InputError OutOfRangeError TarebookError",
    "core.phrase": "Phrase",
    "core.version": "VERSION",
    "findings.finding": "Finding Severity",
    "planning.refusals": "Amount ImpossibleWishError PlanBeyondModelError Wished",
    "report.languages.known": "LANGUAGES",
    "report.languages.words": "language_names",
    "report.outcome": "Outcome",
    "report.payload": "Json findings_payload payload source_payload",
    "report.plan_payload": "plan_payload",
    "report.printing": "Paper",
    "report.refusal_words": "number_typed refusal_in_words",
    "report.rests_on": "readings_used",
}
"""What each part holds. None of its modules is called as what it holds: once loaded, the module
would stand in its place."""

_MODULE_OF: Final = {name: module for module, names in _WHERE.items() for name in names.split()}


def __getattr__(name: str) -> Any:
    """Load what is asked for the first time."""
    if name not in _MODULE_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(f"tarebook.{_MODULE_OF[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return __all__


# A result at the end of a cell is shown as one; where no notebook runs, nothing is loaded for it.
if "IPython" in sys.modules:
    import_module("tarebook.api.in_notebook").show_by_itself(sys.modules["IPython"].get_ipython())
