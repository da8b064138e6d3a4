"""A reader of the codes on sheets that shares nothing with what writes them."""

from __future__ import annotations

import re
from typing import NamedTuple
from urllib.parse import parse_qs, unquote, urlsplit


class RunCode(NamedTuple):
    """What a code says: the first letters of the definition's hash, the group, the run."""

    digest: str
    group: str
    run: str


def read_run_code(text: str) -> RunCode:
    """Return what a code says, in either form."""
    plain = re.fullmatch(r"TB1 (\S+) (\S+) (\S+)", text)
    if plain:
        return RunCode(plain[1], unquote(plain[2]), unquote(plain[3]))
    link = urlsplit(text)
    *_, word, group, run = link.path.split("/")
    assert word == "run", text
    return RunCode(parse_qs(link.query)["e"][0], unquote(group), unquote(run))
