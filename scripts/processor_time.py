"""What the processor had to do, whatever else it does meanwhile."""

from __future__ import annotations

import os


def processor_seconds() -> float:
    """Return what this process and those that it started have used of the processor."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system
