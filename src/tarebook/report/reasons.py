"""Messages with their numbers typeset."""

from __future__ import annotations

import re

from tarebook.report.numbers import NumberStyle

_HYPHEN = re.compile(r"(?<![\w.])-(?=\d)")
"""A hyphen that stands for a minus."""


def in_plain_words(message: str, style: NumberStyle) -> str:
    """Return a message with its minus signs typeset.

    Parameters
    ----------
    message : str
    style : NumberStyle

    Examples
    --------
    >>> from tarebook.report import numbers
    >>> in_plain_words("the difference is about -0.60 g", numbers.TERMINAL)
    'the difference is about −0.60 g'
    """
    return _HYPHEN.sub(style.minus, message)
