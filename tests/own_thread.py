"""Work in a thread of its own: browser tests leave a running loop in the first one."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Made = TypeVar("Made")


def in_own_thread(work: Callable[[], Made]) -> Made:
    """Return what the work makes; its errors are raised here."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(work).result()
