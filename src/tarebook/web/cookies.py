"""Our own values in a Cookie header, whatever other programs put beside them."""

from __future__ import annotations

MOST_VALUES = 8
"""Values under one name that are looked at; a browser sends one."""


def values_of(header: str, name: str) -> list[str]:
    """Return the values under a name.

    Cookies do not know ports: those of every program on the machine come along, also with
    characters that no cookie may have. What is not ours is not read at all.

    Parameters
    ----------
    header : str
    name : str

    Examples
    --------
    >>> values_of('a="b; c; ours=1; d=ü; ours=2', "ours")
    ['1', '2']
    """
    found = []
    for piece in header.split(";"):
        before, _, value = piece.partition("=")
        if before.strip() == name:
            found.append(value.strip().strip('"'))
    return found[:MOST_VALUES]
