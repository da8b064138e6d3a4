"""Whatever src defines is used by the product: a function that tests alone call computes nothing.

    python -m scripts.live

Finds functions, methods, properties and classes of src that neither src nor a script names, and
fails if there are any but those that a library calls. Tests do not count: a check of what no user
reaches shows nothing.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

from vulture import Vulture

TOP = Path(__file__).resolve().parent.parent

KINDS: Final = frozenset({"function", "method", "property", "class", "unreachable_code"})
"""What is looked for: a field may be read by a template alone."""

CALLED_BY_A_LIBRARY: Final = {
    "__getattr__": "Python, when a name of the package is asked for the first time",
    "__dir__": "Python, when somebody looks what the package holds",
    "_repr_html_": "a notebook, when a cell ends with it",
    "_set_up": "sqlalchemy, when it connects",
    "accept": "asyncio, when somebody connects",
    "handleError": "logging, when a record cannot be written",
    "get_timestamp": "itsdangerous, when it signs",
    "_one_way_to_say_how_sure": "pydantic, when it validates",
    "_one_of_the_two": "pydantic, when it validates",
}
"""Why nothing here names them."""

ALIKE: Final = 60
"""Confidence, in per cent, that vulture states for what it finds by its name alone."""


def unused(src: Path = TOP / "src") -> dict[str, str]:
    """Return the names that nothing but tests uses, each with its place."""
    found = Vulture()
    found.scavenge([str(src), str(TOP / "scripts")], exclude=["*/one_voice/*"])
    return {
        item.name: f"{Path(item.filename).relative_to(src)}:{item.first_lineno}: {item.typ}"
        for item in found.get_unused_code(min_confidence=ALIKE)
        if item.typ in KINDS and Path(item.filename).is_relative_to(src)
    }


def main() -> int:
    """Print what is not used, and what is listed here without need; return 1 if there is any."""
    found = unused()
    dead = {name: place for name, place in found.items() if name not in CALLED_BY_A_LIBRARY}
    for name, place in dead.items():
        print(f"{place} {name}: nothing but tests uses it. Use it in the product or delete it.")
    needless = [name for name in CALLED_BY_A_LIBRARY if name not in found]
    for name in needless:
        print(f"{name}: listed in scripts/live.py, and not there or used by name. Delete it there.")
    return int(bool(dead or needless))


if __name__ == "__main__":
    sys.exit(main())
