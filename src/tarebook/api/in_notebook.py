"""Results in a notebook: the answer, its chart, its tables, what was noticed.

A result is a value and knows no HTML. What shows it is `Shown`; IPython and all that is built on it
are told to use that for a result that ends a cell.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from tarebook.report.outcome import Outcome
    from tarebook.report.plan_outcome import PlanOutcome

    Result: TypeAlias = Outcome | PlanOutcome

RESULTS = (("tarebook.report.outcome", "Outcome"), ("tarebook.report.plan_outcome", "PlanOutcome"))
"""Module and name of what is shown by itself: told so, nothing is loaded for it."""


def as_html(result: Result) -> str:
    """Return a reduced experiment or a plan as HTML that can stand in any page.

    Parameters
    ----------
    result : Outcome or PlanOutcome

    Returns
    -------
    str
        One element with a style of its own; it runs no script and fetches nothing.
    """
    from tarebook.report.cell import cell

    return cell(result)


@dataclass(frozen=True, slots=True, repr=False)
class Shown:
    """A result as it is looked at: HTML in a notebook, text elsewhere.

    Attributes
    ----------
    result : Outcome or PlanOutcome
    """

    result: Result

    def _repr_html_(self) -> str:
        return as_html(self.result)

    def __repr__(self) -> str:
        from tarebook.api.in_text import as_text
        from tarebook.api.plan_row import plan_as_text
        from tarebook.report.plan_outcome import PlanOutcome

        if isinstance(self.result, PlanOutcome):
            return plan_as_text(self.result).rstrip()
        return as_text(self.result).rstrip()


def show(result: Result) -> Shown:
    """Return a result as every notebook and every console shows it.

    Parameters
    ----------
    result : Outcome or PlanOutcome
        Of `reduce` or of `plan`.
    """
    return Shown(result)


def show_by_itself(shell: Any) -> None:
    """Have IPython show results without `show`.

    Parameters
    ----------
    shell : InteractiveShell or None
        What `IPython.get_ipython` gives.
    """
    if shell is None:
        return
    formatters = shell.display_formatter.formatters
    for module, name in RESULTS:
        formatters["text/html"].for_type_by_name(module, name, as_html)
        formatters["text/plain"].for_type_by_name(module, name, _in_text)


def _in_text(result: Result, printer: Any, _cycle: bool) -> None:
    printer.text(repr(Shown(result)))
