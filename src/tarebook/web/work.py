"""Work in a thread beside the loop, in the turn of whoever asked for it."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from functools import partial
from typing import ParamSpec, Protocol, TypeVar

from starlette.concurrency import run_in_threadpool

Given = ParamSpec("Given")
Made = TypeVar("Made")


class Turn(Protocol):
    """Says when the work for a request may begin."""

    async def do(self, work: Callable[[], Made]) -> Made:
        """Do some work in a thread when it may begin, and return what it made."""
        ...

    def has_time(self) -> bool:
        """Return whether so few wait that what can follow later may be done at once."""
        ...


TURN: ContextVar[Turn | None] = ContextVar("turn", default=None)
"""That of the request at hand."""


def has_time() -> bool:
    """Return whether the work at hand may do at once what can follow a moment later."""
    turn = TURN.get()
    return turn is None or turn.has_time()


async def in_thread(work: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs) -> Made:
    """Do some work in a thread and return what it made.

    Parameters
    ----------
    work : callable
    *args, **kwargs
        What it is given.
    """
    turn, bound = TURN.get(), partial(work, *args, **kwargs)
    return await (run_in_threadpool(bound) if turn is None else turn.do(bound))
