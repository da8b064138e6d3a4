"""Answers that are kept for the object they are about."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Final, TypeVar

About = TypeVar("About")
Answer = TypeVar("Answer")

MOST_KEPT: Final = 64
"""Objects whose answers are kept at one time."""


def kept_for(function: Callable[[About], Answer]) -> Callable[[About], Answer]:
    """Return the function with its answers kept as long as it is asked about the same objects.

    By identity: a definition, which never changes, has hundreds of parts, and to hash them all
    would take longer than the answer. Nobody may change an answer.

    Parameters
    ----------
    function : callable
        Of one object that never changes.

    Examples
    --------
    >>> asked = []
    >>> @kept_for
    ... def doubled(numbers):
    ...     asked.append(numbers)
    ...     return [2 * n for n in numbers]
    >>> one = (1, 2)
    >>> doubled(one) is doubled(one), len(asked)
    (True, 1)
    """
    kept: dict[int, tuple[About, Answer]] = {}

    @wraps(function)
    def answered(about: About) -> Answer:
        found = kept.get(id(about))
        if found is not None and found[0] is about:
            return found[1]
        answer = function(about)
        if len(kept) >= MOST_KEPT:
            kept.clear()
        kept[id(about)] = about, answer
        return answer

    return answered
