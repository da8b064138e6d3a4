"""Which languages there are: each folder beside this file that says which language it is."""

from __future__ import annotations

from importlib import resources
from typing import Final

OWN: Final = "language"
"""The file of a language in which its own name stands and where it is spoken."""


def _found() -> tuple[str, ...]:
    folders = resources.files(__package__).iterdir()
    return tuple(sorted(each.name for each in folders if (each / f"{OWN}.ftl").is_file()))


LANGUAGES: Final = _found()
"""The folders of messages by their names, which are the codes of the languages (ISO 639)."""
