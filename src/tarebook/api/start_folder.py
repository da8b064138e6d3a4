"""Begin a new experiment folder, from an example or from a blank definition."""

from __future__ import annotations

from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from tarebook.api.definition import experiment_of
from tarebook.api.folder import DEFINITION, KEY_FILE, READINGS, STORE, cannot_write, write_all
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.records.sheet import blank_sheet
from tarebook.series.faults import did_you_mean, shown


def example_names() -> tuple[str, ...]:
    """Return the names of the examples that ship."""
    return tuple(sorted(entry.name for entry in _examples().iterdir() if entry.is_dir()))


def start(folder: Path, *, like: str = "") -> tuple[Path, ...]:
    """Make a new experiment folder.

    Parameters
    ----------
    folder : Path
        Must not hold an experiment yet.
    like : str
        Name of the example to begin from; empty for a blank definition.

    Returns
    -------
    tuple of Path
        The files made.

    Raises
    ------
    InputError
        If the folder holds an experiment already or there is no such example.
    CannotWriteError
        If the folder cannot be written.
    """
    try:
        there = [
            name for name in (DEFINITION, READINGS, STORE, KEY_FILE) if (folder / name).exists()
        ]
    except OSError as error:
        raise cannot_write(folder, error) from error
    if there:
        fault = Fault(
            where=str(folder),
            found=f"{' and '.join(there)} already there",
            allowed="a folder without an experiment",
            do="Choose another name; nothing is ever written over.",
        )
        raise InputError([fault])
    return write_all(folder, _example(like) if like else _blank())


def _example(name: str) -> dict[str, bytes]:
    names = example_names()
    if name not in names:
        otherwise = "Leave the option out for a blank definition."
        do = did_you_mean(name, names, otherwise, likeness=0.3)
        fault = Fault(where=AskedFor.EXAMPLE, found=shown(name), allowed=", ".join(names), do=do)
        raise InputError([fault])
    folder = _examples() / name
    return {file: (folder / file).read_bytes() for file in (DEFINITION, READINGS)}


def _blank() -> dict[str, bytes]:
    text = (resources.files("tarebook.api") / "blank.toml").read_text(encoding="utf-8")
    planned = [run.run for run in experiment_of(text).planned]
    return {DEFINITION: text.encode(), READINGS: blank_sheet(planned).encode()}


def _examples() -> Traversable:
    """Return the folder of examples: in the package once built, beside the sources before."""
    packaged = resources.files("tarebook") / "examples"
    if packaged.is_dir():
        return packaged
    return Path(__file__).parents[3] / "examples"
