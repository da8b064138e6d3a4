"""Readings that nobody took: to try a definition out before a lesson."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import numpy as np

from tarebook.api.definition import read_definition
from tarebook.api.folder import DEFINITION, READINGS, has_record, read_text, write_all
from tarebook.api.sheet_way import way_in_folder
from tarebook.core import defaults
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.model.parameters import Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import simulate as simulated
from tarebook.records.complete import columns_of
from tarebook.records.sheet import parse_sheet, write_sheet
from tarebook.series.experiment import Experiment


def simulate(folder: Path, *, seed: int = defaults.SEED) -> Path:
    """Write readings of the planned row, as a class might have taken them, into `readings.csv`.

    What is not known of the row (how well the ware holds its scale, what stays behind at a pour,
    the air) is drawn once as the definition leaves it open; the sample holds what its label claims.
    Then hands pour near their targets, gas leaves, and each number is read on the scale of its
    instrument.

    Parameters
    ----------
    folder : Path
        Its definition says with `invented` that the readings are not real; every page repeats it.
    seed : int
        The same seed gives the same readings.

    Returns
    -------
    Path
        The sheet.

    Raises
    ------
    InputError
        If the definition cannot be read or does not say that the readings are invented, or if there
        are readings already.
    CannotWriteError
        If the sheet cannot be written.
    """
    experiment = read_definition(folder)
    faults = []
    if seed < 0:
        faults.append(Fault(where=AskedFor.SEED, found=str(seed), allowed="0 or more"))
    if not experiment.invented:
        faults.append(
            Fault(
                where=f"{DEFINITION}, invented",
                found="nothing",
                allowed="a text that every page shows, such as 'simulated readings'",
                do="Write it there, so that nobody takes the readings for real ones.",
            )
        )
    if has_record(folder) or _has_readings(folder):
        faults.append(
            Fault(
                where=str(folder),
                found="readings",
                allowed="a folder without any",
                do="Begin another folder with the same definition.",
            )
        )
    if faults:
        raise InputError(faults)
    rng = np.random.Generator(np.random.SFC64(seed))
    table = simulated(experiment, _one(experiment, rng), rng).table
    written = write_sheet(table, columns_of(experiment), way_in_folder(folder))
    (sheet,) = write_all(folder, {READINGS: written.encode()})
    return sheet


def _has_readings(folder: Path) -> bool:
    if not (folder / READINGS).exists():
        return False
    return bool(parse_sheet(read_text(folder, READINGS), READINGS).readings)


def _one(experiment: Experiment, rng: np.random.Generator) -> Parameters:
    """Return one truth: a number for everything that is not known."""
    drawn = drawn_parameters(experiment, rng, 1)
    return Parameters(
        **{one.name: np.array(getattr(drawn, one.name)).reshape(()) for one in fields(drawn)}
    )
