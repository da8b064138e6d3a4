"""How many connections the app takes at once, and how long each may keep it waiting."""

from __future__ import annotations

import contextlib
import sys
from dataclasses import dataclass

FILES_UNKNOWN = 512
"""Open files where the system does not say how many it allows: as many sockets as Windows lets a
program wait for (documentation of asyncio, from memory)."""

FEWEST_FOR_ALL_THREADS = 1024
"""With fewer open files the app works with fewer threads, since each keeps the record open."""

MANY_THREADS, FEW_THREADS = 40, 8

RECORDERS = 6
"""Threads that take readings, beside the others. More would only take turns; with fewer a slow disk
would let them wait for it one after the other. Ours, tried with `make torture`."""

FILES_OF_THREAD, FILES_OF_APP = 3, 64
"""Files that a thread may have open (the record, its log, a sheet), and those of all the rest."""

MOST_CONNECTIONS = 2000
MOST_OF_ADDRESS = 1000
"""A class of 120 behind one address, each browser with its usual six, needs 720."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the app bears at once.

    Attributes
    ----------
    connections : int
        Connections in all.
    of_address : int
        Connections of one address; a whole school may share one.
    threads : int
        Threads that answer, beside those that take readings.
    head_seconds, body_seconds, idle_seconds : float
        To send the head of a request (with https, to agree on keys first), to send its body, and
        between two requests.
    stall_seconds : float
        An answer of which nothing was taken for so long is given up.
    head_bytes : int
        Of the head of a request.
    unsent_bytes : int
        Of all answers that wait to be taken.
    """

    connections: int
    of_address: int
    threads: int
    head_seconds: float = 15.0
    body_seconds: float = 60.0
    idle_seconds: float = 80.0
    stall_seconds: float = 60.0
    head_bytes: int = 32 * 1024
    unsent_bytes: int = 64 * 1024 * 1024


def limits_for(files: int) -> Limits:
    """Return the limits of a machine that allows so many open files.

    Parameters
    ----------
    files : int

    Examples
    --------
    >>> limits_for(256).connections, limits_for(256).of_address, limits_for(20_000).connections
    (150, 132, 2000)
    """
    threads = MANY_THREADS if files >= FEWEST_FOR_ALL_THREADS else FEW_THREADS
    room = files - FILES_OF_APP - FILES_OF_THREAD * (threads + RECORDERS)
    connections = max(8, min(MOST_CONNECTIONS, room))
    # The last eighth is for other addresses.
    of_address = min(MOST_OF_ADDRESS, connections - connections // 8)
    return Limits(connections=connections, of_address=of_address, threads=threads)


def raise_open_files() -> int:
    """Raise the number of open files to what the system allows and return it."""
    if sys.platform == "win32":
        return FILES_UNKNOWN
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    unbounded = resource.RLIM_INFINITY
    # macOS calls the hard limit unbounded and refuses more than its own one.
    for wanted in (hard, 10_240, 4_096):
        if wanted == unbounded or (soft != unbounded and wanted <= soft):
            continue
        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
            break
    now = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    return 1 << 16 if now == unbounded else now
