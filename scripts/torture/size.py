"""How much of each mishap fits into a time."""

from __future__ import annotations

from dataclasses import dataclass

WHOLE = 30.0
"""Minutes in which all of it is done, on two quiet cores."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How often each is done.

    Attributes
    ----------
    kills, kills_in_database : int
        Of the server, with the record in a file and in PostgreSQL.
    fills : int
        Disks that fill up.
    deeds : int
        Stores that are replaced, in one way or another.
    flips : int
        Bits.
    cuts : int
        Connections that are dropped.
    flood_seconds : float
    devices : int
        That record during the flood.
    """

    kills: int = 80
    kills_in_database: int = 40
    fills: int = 12
    deeds: int = 28
    flips: int = 2000
    cuts: int = 2000
    flood_seconds: float = 180.0
    devices: int = 120

    @classmethod
    def of(cls, minutes: float) -> Size:
        """Return what fits into so many minutes; a bit of everything at least."""
        part = min(minutes / WHOLE, 1.0)
        whole = cls()
        return cls(
            kills=max(2, round(part * whole.kills)),
            kills_in_database=max(1, round(part * whole.kills_in_database)),
            fills=max(1, round(part * whole.fills)),
            deeds=max(2, round(part * whole.deeds)),
            # Quick enough that a third of the time holds all of them.
            flips=max(50, min(whole.flips, round(3 * part * whole.flips))),
            cuts=max(20, round(part * whole.cuts)),
            flood_seconds=max(3.0, part * whole.flood_seconds),
        )
