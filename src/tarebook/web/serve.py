"""Start the app: where it listens, what the terminal says, and how it ends."""

from __future__ import annotations

import contextlib
import datetime as dt
import gc
import io
import os
import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import anyio.to_thread
import segno
import uvicorn
from starlette.types import ASGIApp

from tarebook import api
from tarebook.api import bench
from tarebook.web.app import build_app
from tarebook.web.certificate import certificate, fingerprint
from tarebook.web.connections import FULL, Connections, Door
from tarebook.web.limits import limits_for, raise_open_files
from tarebook.web.log import log_config, tell_of_threads
from tarebook.web.protocol import protocol_of
from tarebook.web.security import Happened, SecurityLog
from tarebook.web.settings import Settings

BACKLOG = 512
"""Connections that the system keeps until the app takes them."""

SWITCH_SECONDS = 0.001
"""After so long a thread that computes lets another one go on."""

GARBAGE = 20_000
"""New objects after which garbage is searched for: those of some hundred requests."""

LOOP = "asyncio:SelectorEventLoop"
"""On every system: the other loop of Windows takes connections past the door that counts them."""

TICKS_OF_SECOND = 10
"""How often in a second the server looks whether it is to end."""

LOOPBACK, EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - asked for with --share


class PortTakenError(api.TarebookError, OSError):
    """The app cannot listen where it should.

    Parameters
    ----------
    port : int
    reason : str
    """

    code = "port-taken"

    def __init__(self, port: int, reason: str) -> None:
        super().__init__(port, reason)
        self.port, self.reason = port, reason

    def __str__(self) -> str:
        return (
            f"The app cannot listen on port {self.port}: {self.reason}. Is it running already? "
            "Another port: --port N."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How the app is to be started.

    Attributes
    ----------
    port : int
        0 for any that is free.
    shares : bool
        Whether the room's network may reach it.
    https : bool
    opens : bool
        Whether to open a browser.
    new_secret : bool
        Whether the instructor gets a new secret.
    groups : int
        Groups 1 to this many are there; 0 leaves them as they are.
    balance : str
        Serial port of a balance; empty without one.
    baud : int
    line : str
        Pattern of the balance's lines; empty for the usual one.
    names : tuple of str
        Other names under which the room reaches the machine.
    """

    port: int
    shares: bool = False
    https: bool = False
    opens: bool = False
    new_secret: bool = False
    groups: int = 0
    balance: str = ""
    baud: int = 9600
    line: str = ""
    names: tuple[str, ...] = ()


def serve(folder: Path, options: Options, say: Callable[[str], None]) -> None:
    """Serve the app of a folder until it is stopped.

    Parameters
    ----------
    folder : Path
    options : Options
    say : callable of str
        Prints a line on the terminal.

    Raises
    ------
    TarebookError
        If the folder cannot be used or is open at a bench, or the port or the balance cannot be
        had.
    """
    _refuse(options)
    sys.setswitchinterval(SWITCH_SECONDS)
    # Whatever is made from here on, its owner alone may read it.
    os.umask(0o077)
    bench.refuse_second(folder)
    with contextlib.ExitStack() as stack:
        # What the machine may refuse comes first: then nothing was written yet.
        connections = Connections(limits_for(raise_open_files()))
        listening = stack.enter_context(_listening(options, connections))
        balance = _balance(options)
        if balance is not None:
            stack.callback(balance.close)
        port: int = listening.getsockname()[1]
        host = _own_address() if options.shares else LOOPBACK
        scheme = "https" if options.https else "http"
        address = f"{scheme}://{host}:{port}"
        stack.enter_context(bench.hold(folder, address))
        workspace = stack.enter_context(bench.open_workspace(folder))
        settings = Settings(
            port=port,
            shares=options.shares,
            https=options.https,
            address=address if options.shares else "",
            balance=options.balance,
            names=options.names,
        )
        security = SecurityLog(workspace.access.place)
        if options.groups:
            workspace.access.add(tuple(str(n) for n in range(1, options.groups + 1)))
        app = build_app(workspace, settings, balance=balance, security=security)
        server = _Server(_config(app, workspace, settings, host, connections), connections)
        tell_of_threads(workspace.folder)
        _tell(workspace, options, address, security, say)
        if options.opens:
            server.then = lambda: webbrowser.open(f"{scheme}://{LOOPBACK}:{port}/")
        # The server hands a signal on when it has ended: let the folder be closed then.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
        stack.callback(_tell_end, workspace, say)
        _settle_memory()
        # Ctrl-C is how it ends in the usual way.
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[listening])


def _settle_memory() -> None:
    """Leave what is there for good out of all searches for garbage: each would stop everybody."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(GARBAGE)


def _refuse(options: Options) -> None:
    """Refuse options that cannot be, all at once."""
    faults = []
    if not 0 <= options.groups <= bench.MOST_GROUPS:
        allowed = f"0 to {bench.MOST_GROUPS}"
        faults.append(api.Fault(where="--groups", found=str(options.groups), allowed=allowed))
    if options.line and not options.balance:
        allowed = "only together with --balance PORT"
        where = "--balance-line"
        faults.append(api.Fault(where=where, found=repr(options.line), allowed=allowed))
    if faults:
        raise api.InputError(faults)


def _balance(options: Options) -> bench.BalancePort | None:
    if not options.balance:
        return None
    pattern = {"pattern": options.line} if options.line else {}
    return bench.BalancePort(options.balance, baud=options.baud, **pattern)


class _Server(uvicorn.Server):
    """Opens the browser when the app can answer, and ends connections that take too long."""

    then: Callable[[], object] | None = None

    def __init__(self, config: uvicorn.Config, connections: Connections) -> None:
        super().__init__(config)
        self._connections = connections

    async def on_tick(self, counter: int) -> bool:
        if counter % TICKS_OF_SECOND == 0:
            self._connections.sweep()
        return await super().on_tick(counter)

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        threads = anyio.to_thread.current_default_thread_limiter()
        threads.total_tokens = self._connections.limits.threads
        await super().startup(sockets)
        if self.then is not None:
            threading.Thread(target=self.then, daemon=True).start()


def _config(
    app: ASGIApp,
    workspace: bench.Workspace,
    settings: Settings,
    host: str,
    connections: Connections,
) -> uvicorn.Config:
    certified: Path | None = None
    key: Path | None = None
    if settings.https:
        names = ["localhost", LOOPBACK, host, socket.gethostname(), *settings.names]
        now = dt.datetime.now(dt.UTC)
        place = workspace.access.place
        certified, key = certificate(place, list(dict.fromkeys(names)), now)
    return uvicorn.Config(
        app,
        log_level="warning",
        log_config=log_config(workspace.folder, workspace.access.place),
        # Addresses of pages may hold names of groups; nobody needs them in a log.
        access_log=False,
        server_header=False,
        date_header=True,
        proxy_headers=False,
        lifespan="off",
        ws="none",
        http=protocol_of(connections),
        loop=LOOP,
        timeout_keep_alive=75,
        timeout_graceful_shutdown=5,
        backlog=BACKLOG,
        ssl_certfile=certified,
        ssl_keyfile=key,
    )


def _listening(options: Options, connections: Connections) -> socket.socket:
    """Return the socket on which the app listens: known to be ours before anything is printed."""
    # Before keys are agreed on nobody would understand a refusal in words.
    listening = Door(connections, b"" if options.https else FULL)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((EVERYWHERE if options.shares else LOOPBACK, options.port))
        listening.listen(BACKLOG)
    except (OSError, OverflowError) as error:
        listening.close()
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise PortTakenError(options.port, reason) from None
    return listening


def _own_address() -> str:
    """Return the address of this machine in the room's network; loopback if there is none.

    Nothing is sent: a datagram socket that is given a far address only chooses its own end of the
    way. The far address is one that leads nowhere (RFC 5737).
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            address: str = probe.getsockname()[0]
        except OSError:
            return LOOPBACK
    return address


def _tell_end(workspace: bench.Workspace, say: Callable[[str], None]) -> None:
    """Say where the record ends, for whoever wants to write it down."""
    say("Stopped.")
    with contextlib.suppress(bench.RecordError):
        end = workspace.end()
        if end.count:
            say(f"The record ends with event {end.count}. Its hash, to be kept elsewhere:")
            say(f"  {end.hash}")


def _tell(
    workspace: bench.Workspace,
    options: Options,
    address: str,
    security: SecurityLog,
    say: Callable[[str], None],
) -> None:
    """Say on the terminal where the app is and how to come in: no other place shows the secret."""
    access = workspace.access
    say(f"“{workspace.experiment.title}” is at the bench: {address}")
    if workspace.taken_over:
        say(f"Brought {workspace.taken_over} entries of readings.csv into the record, group 1.")
    if workspace.copied_from:
        say(
            f"This folder is a copy of {workspace.copied_from}: what is recorded here does not go "
            f"there. To begin with an empty record: tarebook settle {workspace.folder} --copied"
        )
    if workspace.n_lost:
        say(
            f"ATTENTION: the record once had {workspace.n_lost} events more. Was a backup put in "
            f"its place? See: tarebook verify {workspace.folder}"
        )
    if workspace.is_other:
        say(
            "ATTENTION: this is not the record that was in this folder before, or it goes on "
            f"otherwise. Was another file put in its place? See: tarebook verify {workspace.folder}"
        )
    if n_beside := workspace.beside.n_differing:
        entries = "entry" if n_beside == 1 else "entries"
        say(
            f"readings.csv differs from the record in {n_beside} {entries}, and the record counts. "
            f"To see what differs: tarebook check {workspace.folder}"
        )
    if options.shares:
        if options.new_secret or not access.has_secret:
            security.note(Happened.NEW_SECRET)
            say(f"Secret of the instructor, shown this once: {access.new_secret()}")
        else:
            say("Secret of the instructor: the one shown before. Another: --new-secret.")
        out = io.StringIO()
        segno.make(f"{address}/join", error="m").terminal(out=out, border=2, compact=True)
        say(out.getvalue().rstrip("\n"))
        for group in access.groups:
            say(f"  group {group.name}: {group.shown_code}")
        if options.https:
            path = access.place / "certificate.pem"
            say(f"Phones ask once about the certificate. Its fingerprint: {fingerprint(path)}")
    say("Stop with Ctrl-C. Whatever was acknowledged is on the disk.")
