"""The definition in a folder, with what only the edges know: the languages of the sheets."""

from __future__ import annotations

from pathlib import Path

from tarebook.api.folder import DEFINITION, read_text
from tarebook.report.languages.known import LANGUAGES
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment


def experiment_of(definition: str) -> Experiment:
    """Return the experiment that the text of a definition describes.

    Raises
    ------
    InputError
        With every fault of it.
    """
    return parse_definition(definition, DEFINITION, LANGUAGES)


def read_definition(folder: Path) -> Experiment:
    """Return the experiment that the definition in a folder describes.

    Raises
    ------
    InputError
        If it cannot be read; with every fault of it.
    """
    return experiment_of(read_text(folder, DEFINITION))
