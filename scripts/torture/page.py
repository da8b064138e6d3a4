"""The page `docs/studies/torture.md`: the table, and how it was made."""

from __future__ import annotations

import os
import platform
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from scripts.torture.disk import REFUSALS
from scripts.torture.flood import AT_ONCE, FILES, HALF_OPEN, IN_DELIVERY
from scripts.torture.table import MOST_MEGABYTES, MOST_P99_MS, Row, table

PAGE = Path(__file__).parents[2] / "docs" / "studies" / "torture.md"

HEAD = """# Nothing lost, nothing doubled, no damage without a word

Made by `make torture` (scripts/torture), seed {seed}, sized for {minutes:g} minutes. The same
seed makes the same choices; at which instruction a kill or a cut falls is the machine's affair
and differs each time.

{cores} cores, Python {python}, SQLite {sqlite}, {system}. The server is `tarebook bench --share`
as a process of its own; devices are connections over the loopback, each from an address of its
own where the system has many. Readings are those of an invented example. {load}

{table}

Goals: lost 0, doubled 0, unnoticed 0, errors 0; p99 under {p99:.0f} ms while one device floods,
on a quiet machine; memory of the server, and of each of its helpers, under {megabytes:.0f} MB.
{verdict}

## What was done

- **Killed.** Six devices record deliveries of one to three readings and send each again, with the
  same ids, until it is acknowledged. The server and its helpers get SIGKILL after 0.2 to 1.5 s,
  every fourth time also before they listen. A killed process loses nothing that the system holds
  in memory: a power failure is harder, and is not tried here (`synchronous = FULL` is what stands
  against it).
- **Disk full.** The system refuses the server files larger than 200 to 900 kB (RLIMIT_FSIZE).
  After {refusals} refused deliveries there is room again, or the server is killed first.
  *Noticed*: the devices were told.
- **Store replaced.** While devices record, a copy is made, more is recorded, and then the deed is
  done. *Noticed*: the server refused from then on, or `verify` says that events are missing. *No
  effect*: all that was acknowledged is there all the same.
- **Bits flipped.** One bit at a time in a copy of the store, every bit of its files as likely as
  any other: header, tables, indexes, free pages (made by hand), write-ahead log. Two stores take
  turns, one as a kill leaves it and one as it is when it was closed. *Noticed*: `verify` says
  that the record is not whole, or it cannot be opened. *No effect*: all events with all fields,
  the key and the text of all tables and triggers are as before; such are bits of free pages, of
  space that no row uses, and of pages whose newer state is in the log. *Unnoticed* would be
  anything else.
- **Connections dropped.** Ten devices cut off a request somewhere, or after it was sent whole,
  and send it again; three in ten send it on two connections at once.
- **Flood.** The server may open {files} files. Each device of the class sends one reading a
  second; one other device holds {half_open} unfinished requests and sends, on {at_once}
  connections as fast as it goes, deliveries of {in_delivery} readings and questions for all there
  is. The time is that from the first sending to the acknowledgement; what is not acknowledged in
  half as long again is an error. Errors are also refusals (503) that the class meets. Then all
  send at once.
- *Doubled* are readings that stand in the record again under whatever id.

## What this found

Of 300 flips in the first trial 260 went unnoticed: all of them in the write-ahead log, where
SQLite drops every commit from a damaged frame on, as if it had never been, and the chain that is
left is whole. So number and hash of the last event are now noted beside the store with every
commit ([record.md](../record.md), *Verify*). Of 1,000 flips in a closed store five changed a
letter in a trigger or in the name of an index, which SQLite's check of itself takes for sound,
and one ended in a trace; `verify` now holds tables and triggers against those that the program
makes.

In the flood each delivery went through all that its group had ever sent: with 8,000 readings that
took half a second of a processor, now a fiftieth of one, however many there are. And once the log
beside the record had grown to 4 MB, every reading of the whole room waited until it was written
into the file, ten times as long as before; now that is done when the log has grown, and only then.
"""


def write_page(rows: Sequence[Row], seed: int, minutes: float) -> None:
    """Write the page."""
    missed = [row for row in rows if not row.is_kept]
    slow = [row for row in rows if not row.is_quick]
    short = [row for row in rows if not row.is_whole]
    verdict = "All are met."
    said = [f"missed: {row.what}" for row in missed]
    said += [f"too slow: {row.what}" for row in slow]
    said += [f"{row.times} of {row.asked} times, for time: {row.what}" for row in short]
    if said:
        verdict = f"**Not all are met here** ({'; '.join(said)})."
    busy = os.getloadavg()[0]
    text = HEAD.format(
        seed=seed,
        minutes=minutes,
        cores=os.cpu_count(),
        python=platform.python_version(),
        sqlite=sqlite3.sqlite_version,
        system=platform.system(),
        load=f"Load of the machine at the end (processes that want a core): {busy:.0f}.",
        table=table(rows),
        p99=MOST_P99_MS,
        megabytes=MOST_MEGABYTES,
        verdict=verdict,
        refusals=REFUSALS,
        files=FILES,
        half_open=HALF_OPEN,
        at_once=AT_ONCE,
        in_delivery=IN_DELIVERY,
    )
    PAGE.write_text(text, encoding="utf-8")
