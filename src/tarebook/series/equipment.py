"""From the instruments of the definition to what the standards say of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from tarebook.core.errors import Fault, InputError, TarebookError, faults_of
from tarebook.core.units import litres
from tarebook.measurement.instruments import balance, thermometer, volume_instrument
from tarebook.measurement.volumes import READ_TWICE, VolumeInstrument
from tarebook.measurement.weighing import Balance
from tarebook.series import schema
from tarebook.series.experiment import Equipment, ReadAs

Instrument = TypeVar("Instrument")

_KEYS = {"graduation": "graduation_mL"}


def read_equipment(table: schema.InstrumentsTable) -> Equipment:
    """Return the instruments of a definition, gaps filled from the tables of the standards.

    Parameters
    ----------
    table : InstrumentsTable

    Returns
    -------
    Equipment

    Raises
    ------
    InputError
        With the faults of every instrument.
    """
    faults: list[Fault] = []

    def of(key: str, build: Callable[[], Instrument]) -> Instrument | None:
        try:
            return build()
        except InputError as error:
            # Its faults begin with the word that is the key here: "kind of a volume instrument".
            for fault in error.faults:
                word = f"{fault.where} ".split(" ", maxsplit=1)[0]
                faults.append(replace(fault, where=f"{key}.{_KEYS.get(word, word)}"))
        except TarebookError as error:
            faults.extend(faults_of(error, key))
        return None

    reagent = of("reagent", lambda: _volume(table.reagent))
    diluent = of("diluent", lambda: _volume(table.diluent))
    main = of("balance", lambda: _balance(table.balance, "balance"))
    own_table = table.sample_balance
    own = main
    if own_table is not None:
        own = of("sample_balance", lambda: _balance(own_table, "sample balance"))
    faults += _faults_of_reading("reagent", table.reagent, reagent)
    faults += _faults_of_reading("diluent", table.diluent, diluent)
    if faults or not (reagent and diluent and main and own):
        raise InputError(faults)
    return Equipment(
        reagent=reagent,
        diluent=diluent,
        balance=main,
        sample_balance=own,
        thermometer=thermometer(
            table.thermometer.readability_C, tolerance=table.thermometer.tolerance_C
        ),
        reagent_read=ReadAs(table.reagent.read),
        diluent_read=ReadAs(table.diluent.read),
    )


def _faults_of_reading(
    key: str, table: schema.VolumeTable, instrument: VolumeInstrument | None
) -> list[Fault]:
    """Return the fault of ware on whose scale no portion has a start and an end."""
    if instrument is None or ReadAs(table.read) is ReadAs.ONCE or instrument.kind in READ_TWICE:
        return []
    kinds = " or ".join(f'"{kind}"' for kind in sorted(READ_TWICE))
    return [
        Fault(
            where=f"{key}.read",
            found=f'"{table.read}" on a {instrument.kind}',
            allowed=f'"{ReadAs.ONCE}", or a {kinds}',
            do="A cylinder is read once; leave the key out.",
        )
    ]


def _volume(table: schema.VolumeTable) -> VolumeInstrument:
    def in_litres(value: float | None) -> float | None:
        return None if value is None else litres(value)

    return volume_instrument(
        table.kind,
        litres(table.capacity_mL),
        standard=table.standard,
        grade=table.grade,
        graduation=in_litres(table.graduation_mL),
        tolerance=in_litres(table.tolerance_mL),
        reading_half_width=in_litres(table.reading_half_width_mL),
        repeatability=in_litres(table.repeatability_mL),
        name=table.name,
    )


def _balance(table: schema.BalanceTable, name: str) -> Balance:
    return balance(
        table.readability_g,
        repeatability=table.repeatability_g,
        linearity=table.linearity_g,
        capacity=table.capacity_g,
        name=table.name or f"{table.readability_g:g} g {name}",
    )
