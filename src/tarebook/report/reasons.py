"""Why there is no result, and other messages, in words for those who stand at the bench."""

from __future__ import annotations

import re

from tarebook.core.units import millilitres
from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle

_BREAK = re.compile(
    r"No change-over found: the best break lies from (?P<low>\S+) to (?P<high>\S+) and leaves "
    r"fewer than 2 runs on the (?P<side>left|right); at least 2 are needed on each side\."
)
_STRAIGHT = re.compile(
    r"No change-over found: the points from \S+ to \S+ follow one straight line; at least 2 are "
    r"needed on each side\."
)
_NOT_SETTLED = re.compile(r"The joint fit did not settle in \d+ steps")
_SINGULAR = re.compile(r"Singular matrix", re.IGNORECASE)
_HYPHEN = re.compile(r"(?<![\w.])-(?=\d)")
"""A hyphen that stands for a minus."""


def in_plain_words(message: str, nominal_mass: float, style: NumberStyle) -> str:
    """Return a message with its technical parts said plainly and its numbers typeset.

    Parameters
    ----------
    message : str
    nominal_mass : float, [g]
        Of the sample: a break in L per gram becomes a volume for it.
    style : NumberStyle

    Examples
    --------
    >>> in_plain_words("The joint fit did not settle in 40 steps.", 1.5, numbers.TERMINAL)
    'the readings fit no setting of the model well enough to choose one.'
    >>> in_plain_words("the difference is about -0.60 g", 1.5, numbers.TERMINAL)
    'the difference is about −0.60 g'
    """

    def said(found: re.Match[str]) -> str:
        low, high = (
            numbers.fixed(millilitres(float(found[end])) * nominal_mass, 1, style)
            for end in ("low", "high")
        )
        mass = numbers.with_unit(numbers.plain(nominal_mass, 0.0, style), "g", style)
        beyond = "less" if found["side"] == "left" else "more"
        return (
            f"the two lines would meet between {low} and {high}{style.gap}mL of reagent for {mass} "
            f"of sample, and fewer than two runs have {beyond} than that."
        )

    message = _BREAK.sub(said, message)
    message = _STRAIGHT.sub(
        "all runs follow one straight line, so the same reactant limits in each of them.", message
    )
    message = _NOT_SETTLED.sub(
        "the readings fit no setting of the model well enough to choose one", message
    )
    message = _SINGULAR.sub("the readings leave a part of the model undetermined", message)
    return _HYPHEN.sub(style.minus, message)
