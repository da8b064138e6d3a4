"""The numbers behind a finding, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tarebook.report import numbers, typeset
from tarebook.report.numbers import NumberStyle

CHANCES = frozenset({"p", "p_chi2"})
"""Evidence that says how often chance alone would do worse."""

SHARES = frozenset({
    "content", "content_as_read", "content_if", "mass_fraction", "probability",
    "probability_of_this", "u_mass_fraction_planned", "u_mass_fraction_poured",
})  # fmt: skip
"""Evidence that is a part of a whole: said in percent, as everywhere else."""

WORDS: dict[str, tuple[str, str]] = {
    "apart_g": ("between the two", "g"),
    "change_over_high_mL": ("equivalence point at most", "mL"),
    "change_over_low_mL": ("equivalence point at least", "mL"),
    "change_over_mL": ("equivalence point", "mL"),
    "cells": ("entries that differ", ""),
    "chi2": ("χ²", ""),
    "chi2_with": ("χ² with it", ""),
    "chi2_without": ("χ² without it", ""),
    "content_if": ("content with it put right", ""),
    "dof": ("degrees of freedom", ""),
    "how_many_spreads": ("that is, in spreads of the row,", ""),
    "how_many_u": ("that is, in u,", ""),
    "liquid_too_heavy_g": ("liquid against its volumes", "g"),
    "lost_too_much_g": ("loss against the expected one", "g"),
    "misfit_u": ("misfit as read, in u,", ""),
    "misfit_u_if": ("misfit with it put right, in u,", ""),
    "mass_fraction": ("content", ""),
    "p": ("p", ""),
    "probability": ("chance that something is wrong", ""),
    "probability_of_this": ("chance that it is this", ""),
    "share_ppm": ("part of the air", "ppm"),
    "u_mass_fraction_planned": ("u of the content, as planned", ""),
    "u_mass_fraction_poured": ("u of the content, as poured", ""),
    "worst_misfit_u": ("its misfit in u", ""),
    "written": ("written", ""),
}
"""Words and unit of evidence whose name alone says too little."""


def in_words(evidence: Mapping[str, float | str], style: NumberStyle) -> Iterator[str]:
    """Yield the numbers behind a finding, each with what it is.

    Parameters
    ----------
    evidence : mapping
        As a finding has it.
    style : NumberStyle
    """
    for name, value in evidence.items():
        words, unit = WORDS.get(name) or typeset.split_unit(name)
        if isinstance(value, str):
            shown = value
        elif name == "runs":
            # A count must not be taken for the name of a run.
            words, shown = "number of runs", numbers.rounded(value, 3, style)
        elif name in CHANCES:
            shown = numbers.p_value(value, style)
        elif name in SHARES:
            shown, unit = numbers.rounded(100.0 * value, 3, style), "%"
        else:
            shown = numbers.rounded(value, 3, style)
        yield f"{words} {numbers.with_unit(shown, unit, style)}"
