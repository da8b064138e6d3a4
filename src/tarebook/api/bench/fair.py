"""The order of long work: each group in turn, so that nobody's many jobs keep others waiting."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable
from concurrent.futures import Future
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Whose turn a job takes.

    Attributes
    ----------
    group : str
        Empty for the instructor.
    kind : hashable, optional
        Of a group only one job of a kind waits: who asks again waits with the first, and both get
        what was asked for last. None for a job that stands for itself.
    """

    group: str = ""
    kind: Hashable | None = None


@dataclass(slots=True, eq=False)
class Job:
    """A job that waits or is at work.

    Attributes
    ----------
    turn : Turn
    work : callable
    args : tuple
    options : dict
    future : Future
    """

    turn: Turn
    work: Callable[..., Any]
    args: tuple[Any, ...]
    options: dict[str, Any]
    future: Future[Any] = field(default_factory=Future)


@dataclass(slots=True)
class FairQueue:
    """Jobs that wait; the caller holds a lock.

    Each group has a queue of its own, and the groups take turns.
    """

    _of: dict[str, deque[Job]] = field(default_factory=dict)

    def put(self, job: Job) -> Job:
        """Add a job, or let it take the place of the one of its kind; return the one that waits."""
        waiting = self._of.setdefault(job.turn.group, deque())
        if job.turn.kind is not None:
            for other in waiting:
                if other.turn == job.turn:
                    other.work, other.args, other.options = job.work, job.args, job.options
                    return other
        waiting.append(job)
        return job

    def take(self) -> Job | None:
        """Take the next job; None if none waits."""
        if not self._of:
            return None
        group = next(iter(self._of))
        waiting = self._of.pop(group)
        job = waiting.popleft()
        if waiting:
            # At the end of the row.
            self._of[group] = waiting
        return job
