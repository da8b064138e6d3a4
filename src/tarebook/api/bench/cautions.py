"""What the bench page says of safety: of the gas first, then what holds for every cup."""

from __future__ import annotations

from tarebook.core.phrase import Phrase
from tarebook.planning.rules_gas import gas_findings
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.noticed import message, to_do
from tarebook.series.experiment import Experiment


def always(how: Writing | None = None) -> str:
    """Return what holds for every cup, whatever is in it."""
    return (how or in_files()).say(Phrase("caution-always"))


def cautions(experiment: Experiment, how: Writing | None = None) -> tuple[str, ...]:
    """Return what the gas of the row makes necessary, the gravest first; empty for most rows.

    Parameters
    ----------
    experiment : Experiment
    how : Writing, optional
        As in files if not given.
    """
    how = how or in_files()
    return tuple(f"{message(one, how)} {to_do(one, how)}" for one in gas_findings(experiment))
