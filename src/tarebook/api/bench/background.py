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
from multiprocessing.connection import Connection
from typing import Any, ParamSpec, TypeVar

from tarebook.api.bench.fair import FairQueue, Job, Turn

Given = ParamSpec("Given")
Made = TypeVar("Made")

NICE = 19
"""By how much the process gives way to the server: wholly. What is left idle is enough, since a
lesson of forty groups leaves most of two cores idle."""


class Background:
    """Does one job after the other, each group in turn; the process begins with the first.

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
        self._lifeline: Connection | None = None
        self._closed = False
        self._busy = False
        self._queue = FairQueue()

    def start(
        self, job: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Made]:
        """Begin a job of the instructor's; see `start_for`."""
        return self.start_for(Turn(), job, *args, **kwargs)

    def start_for(
        self, turn: Turn, job: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs
    ) -> Future[Made]:
        """Begin a job: a function of a module, with arguments that can be sent to a process.

        It begins when its group has its turn. Once closed, a job is cancelled before it begins.
        """
        if not self._workers:
            return _done(job, *args, **kwargs)
        with self._lock:
            if self._closed:
                return _cancelled()
            waits = self._queue.put(Job(turn, job, args, kwargs))
        self._go_on()
        return waits.future

    def _go_on(self) -> None:
        """Give the process the next job if it has none."""
        with self._lock:
            if self._busy or self._closed:
                return
            job = self._queue.take()
            while job is not None and not job.future.set_running_or_notify_cancel():
                job = self._queue.take()
            if job is None:
                return
            self._busy = True
        given = job
        try:
            self._submit(given).add_done_callback(lambda ended: self._ended(given, ended))
        except (BrokenProcessPool, RuntimeError) as error:
            # Ended again at once, or closed meanwhile.
            self._busy = False
            given.future.set_exception(error)

    def _submit(self, job: Job) -> Future[Any]:
        try:
            return self._executor().submit(job.work, *job.args, **job.options)
        except (BrokenProcessPool, RuntimeError):
            # The process was ended from outside (no memory left, say): one more try with a new one.
            self._end()
            return self._executor().submit(job.work, *job.args, **job.options)

    def _ended(self, job: Job, ended: Future[Any]) -> None:
        self._busy = False
        if ended.cancelled():
            job.future.set_exception(BrokenProcessPool("The process was ended."))
        elif (error := ended.exception()) is not None:
            job.future.set_exception(error)
        else:
            job.future.set_result(ended.result())
        self._go_on()

    def warm(self) -> None:
        """Begin the process before it is needed: its first job would else wait for its imports."""
        if self._workers:
            self.start(_import_all, self._imports)

    def close(self) -> None:
        """End the process at once: its jobs only compute, so nothing is lost but their work."""
        # First: what is told of a job's end may ask for the next one.
        with self._lock:
            self._closed = True
            waiting = []
            while (job := self._queue.take()) is not None:
                waiting.append(job)
        self._end()
        for job in waiting:
            if job.future.cancel():
                job.future.set_running_or_notify_cancel()

    def _end(self) -> None:
        with self._lock:
            pool, self._pool = self._pool, None
            lifeline, self._lifeline = self._lifeline, None
        if lifeline is not None:
            lifeline.close()
        if pool is not None:
            pool.shutdown(wait=True, cancel_futures=True)

    def _executor(self) -> Executor:
        with self._lock:
            if self._pool is None:
                # A fork of a process with threads may hang: begin afresh.
                context = multiprocessing.get_context("spawn")
                theirs, self._lifeline = context.Pipe(duplex=False)
                self._pool = ProcessPoolExecutor(
                    1, mp_context=context, initializer=_settle, initargs=(theirs,)
                )
            return self._pool


def _done(job: Callable[Given, Made], *args: Given.args, **kwargs: Given.kwargs) -> Future[Made]:
    future: Future[Made] = Future()
    try:
        future.set_result(job(*args, **kwargs))
    except Exception as error:
        # Nothing is swallowed: whoever asks for the result meets it, as from a process.
        future.set_exception(error)
    return future


def _cancelled() -> Future[Any]:
    future: Future[Any] = Future()
    future.cancel()
    future.set_running_or_notify_cancel()
    return future


def _import_all(names: tuple[str, ...]) -> None:
    for name in names:
        importlib.import_module(name)


def _settle(lifeline: Connection) -> None:
    """Give way to the server, leave Ctrl-C to it, and end when it ends, however that comes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    nice: Any = getattr(os, "nice", None)
    if nice is not None:
        with contextlib.suppress(OSError):
            nice(NICE)
    if hasattr(os, "SCHED_IDLE"):
        # On Linux: a thread of the server that wakes up has its core at once.
        with contextlib.suppress(OSError):
            os.sched_setscheduler(0, os.SCHED_IDLE, os.sched_param(0))
    threading.Thread(target=_end_with, args=(lifeline,), daemon=True).start()


def _end_with(lifeline: Connection) -> None:
    """End when the other end of the line is closed: by the server, or because it is no more."""
    with contextlib.suppress(EOFError, OSError):
        lifeline.recv()
    os._exit(0)
