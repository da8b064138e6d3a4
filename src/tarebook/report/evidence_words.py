"""The numbers behind a finding, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tarebook.records.readings import QUANTITY_OF_COLUMN
from tarebook.report import numbers, typeset
from tarebook.report.languages.writing import Writing

CHANCES = frozenset({"p", "p_chi2"})
"""Evidence that says how often chance alone would do worse."""

SHARES = frozenset({
    "content", "content_as_read", "content_if", "mass_fraction", "probability",
    "probability_of_this", "u_mass_fraction_planned", "u_mass_fraction_poured",
})  # fmt: skip
"""Evidence that is a part of a whole: said in percent, as everywhere else."""


def in_words(evidence: Mapping[str, float | str], how: Writing) -> Iterator[str]:
    """Yield the numbers behind a finding, each with what it is.

    Parameters
    ----------
    evidence : mapping
        As a finding has it.
    how : Writing
    """
    for name, value in evidence.items():
        words, unit = _named(name, value, how)
        if isinstance(value, str):
            shown = how(f"{OF_CODE[name]}-{value}") if name in OF_CODE else value
            if name == "written" or name in QUANTITY_OF_COLUMN:
                shown = shown.replace(".", how.style.decimal)
        elif name in CHANCES:
            shown = numbers.p_value(value, how.style)
        elif name in SHARES:
            shown, unit = numbers.rounded(100.0 * value, 3, how.style), "%"
        else:
            shown = numbers.rounded(value, 3, how.style)
        yield f"{words} {numbers.with_unit(shown, unit, how.style)}"


OF_CODE = {"worst_reading": "quantity", "parameter": "parameter"}
"""Evidence that names one of a set: the kind of its name in the catalogue."""

PULL = "pull_of_"
"""Begins evidence of how far a fit moves a parameter, which it names."""

UNITS = {"g_per_100_g": "", "n_entries": "", "strength_mol_per_L": ""}
"""Names whose end is no unit."""


def _named(name: str, value: float | str, how: Writing) -> tuple[str, str]:
    """Return what a number is, and its unit."""
    if name in QUANTITY_OF_COLUMN:
        return how(f"quantity.{name}"), QUANTITY_OF_COLUMN[name].unit
    if name.startswith(PULL):
        moved = how(f"parameter.{name.removeprefix(PULL)}")
        return f"{moved} {how('evidence.pull')}", ""
    said, unit = typeset.split_unit(name)
    unit = UNITS.get(name, unit)
    # A count must not be taken for the name of a run.
    key = "n_runs" if name == "runs" and not isinstance(value, str) else name
    key = f"evidence.{key.replace('/', '_per_')}"
    # What a definition or a record names by itself has no other name.
    return (how(key) if how.words.has(key) else said), unit
