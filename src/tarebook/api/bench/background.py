"""Long work beside the server: one process of low priority, so that no reading waits for a fit."""

from __future__ import annotations

import contextlib
import importlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any, ParamSpec, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")

NICE = 19
"""By how much the process gives way to the server: wholly. What is left idle is enough, since a
lesson of forty groups leaves most of two cores idle."""


class Background:
    """Does one job after the other; the process begins with the first.

    Parameters
    ----------
    workers : bool
        Whether there is a process at all; without one a job is done at once by who asks for it.
    imports : tuple of str
        Modules that its jobs need.
    """

    def __init__(self, *, workers: bool, imports: tuple[str, ...] = ()) -> None:
        self._workers, self._imports = workers, imports
        self._lock = threading.Lock()
        self._pool: ProcessPoolExecutor | None = None

    def start(
        self, job: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Made]:
        """Begin a job: a function of a module, with arguments that can be sent to a process."""
        if not self._workers:
            return _done(job, *args, **kwargs)
        try:
            return self._executor().submit(job, *args, **kwargs)
        except (BrokenProcessPool, RuntimeError):
            # The process was ended from outside (no memory left, say): one more try with a new one.
            self.close()
            return self._executor().submit(job, *args, **kwargs)

    def warm(self) -> None:
        """Begin the process before it is needed: its first job would else wait for its imports."""
        if self._workers:
            self.start(_import_all, self._imports)

    def close(self) -> None:
        """End the process when it has done what it is doing; what waits is dropped."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=True, cancel_futures=True)

    def _executor(self) -> Executor:
        with self._lock:
            if self._pool is None:
                # A fork of a process with threads may hang: begin afresh.
                context = multiprocessing.get_context("spawn")
                self._pool = ProcessPoolExecutor(1, mp_context=context, initializer=_settle)
            return self._pool


def _done(job: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs) -> Future[Made]:
    future: Future[Made] = Future()
    try:
        future.set_result(job(*args, **kwargs))
    except Exception as error:
        future.set_exception(error)
    return future


def _import_all(names: tuple[str, ...]) -> None:
    for name in names:
        importlib.import_module(name)


def _settle() -> None:
    """Give way to the server, leave Ctrl-C to it, and end when it ends, however that comes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    nice: Any = getattr(os, "nice", None)
    if nice is not None:
        with contextlib.suppress(OSError):
            nice(NICE)
    if hasattr(os, "SCHED_BATCH"):
        # On Linux: it never takes a core from the server at the moment when it wakes up.
        with contextlib.suppress(OSError):
            os.sched_setscheduler(0, os.SCHED_BATCH, os.sched_param(0))
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: Any) -> None:
    parent.join()
    os._exit(0)
