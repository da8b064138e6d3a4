"""Reading of the reference tables that ship with the package, one file a topic, beside the code."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any


@cache
def reference_table(package: str, name: str) -> dict[str, Any]:
    """Return a reference table of the package, parsed once.

    Parameters
    ----------
    package : str
        The package that holds it, e.g. ``"tarebook.chemistry"``.
    name : str
        File name without ``.toml`` in that package's folder ``tables``.

    Returns
    -------
    dict
        The table as TOML gives it; shared by all callers, not to be changed.
    """
    text = (resources.files(package) / "tables" / f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)
