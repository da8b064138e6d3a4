"""What the lock files name: one part per name and version."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from packaging.requirements import Requirement

TOP = Path(__file__).resolve().parent.parent

LOCKS = {
    "requirements.lock": "to run",
    "requirements-department.lock": "one database for many folders",
    "requirements-docs.lock": "to build the site of the docs",
    "requirements-test.lock": "to test",
}
"""Each lock file and what its parts are for; a part counts for the first that names it."""


@dataclass(frozen=True, order=True)
class Part:
    """One version of a library.

    Attributes
    ----------
    name : str
        As the package index spells it, in lower case.
    version : str
        The only one that the lock allows.
    use : str
        What it is for, see `LOCKS`.
    where : str
        The marker of the lock (`python_full_version < '3.12'`), or "".
    """

    name: str
    version: str
    use: str
    where: str


def parts(top: Path = TOP) -> list[Part]:
    """Return every locked part once, in order of name and version."""
    found: dict[tuple[str, str], Part] = {}
    for lock, use in LOCKS.items():
        for line in re.findall(
            r"^\S.*?==.*?(?= \\$|$)", (top / lock).read_text(encoding="utf-8"), re.M
        ):
            asked = Requirement(line)
            version = str(asked.specifier).removeprefix("==")
            part = Part(asked.name.lower(), version, use, str(asked.marker or ""))
            found.setdefault((part.name, part.version), part)
    return sorted(found.values())
