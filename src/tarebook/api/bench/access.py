"""Who may come in: the instructor's secret, the groups and their codes, kept beside the record."""

from __future__ import annotations

import contextlib
import hmac
import json
import re
import secrets
import threading
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any, ClassVar

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from tarebook.api.folder import cannot_write, write_all
from tarebook.core.errors import Fault, InputError, TarebookError
from tarebook.records.events import LONE_GROUP
from tarebook.records.fold import natural

PLACE = ".bench"
"""Folder in the experiment's folder; only its owner may read it."""
FILE = "access.json"

LETTERS = "ABCDEFGHJKMNPQRTUVWXYZ346789"
"""Characters of a code: none that looks like another (0 O, 1 I L, 2 Z, 5 S are not all there)."""
CODE_LENGTH = 6
SECRET_BLOCKS, SECRET_BLOCK = 4, 4

MOST_GROUPS = 200
MOST_NAME = 40
_NAME = re.compile(r"[^\W_][\w .\-]{0,38}[^\W_]|[^\W_]")


class UnknownGroupError(TarebookError, LookupError):
    """There is no such group.

    Parameters
    ----------
    group : str
    """

    code: ClassVar[str] = "unknown-group"

    def __init__(self, group: str) -> None:
        super().__init__(group)
        self.group = group

    def __str__(self) -> str:
        return f"There is no group {self.group[:MOST_NAME]!r}. See the page Groups."


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A group and its way in.

    Attributes
    ----------
    name : str
    code : str
        What its members type; letters and digits without the dash.
    turn : int
        How often the code was changed: a session carries it and ends with it.
    """

    name: str
    code: str
    turn: int = 1

    @property
    def shown_code(self) -> str:
        """The code as it is read aloud: two blocks."""
        half = CODE_LENGTH // 2
        return f"{self.code[:half]}-{self.code[half:]}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _State:
    groups: tuple[Group, ...]
    shares: bool
    secret: str
    signing_key: str
    secret_turn: int


@dataclass(slots=True)
class Access:
    """The groups of a folder, kept in its file; may be used by many threads at once.

    Parameters
    ----------
    folder : Path
        Of the experiment.
    """

    folder: Path
    _state: _State = field(init=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, init=False)

    def __post_init__(self) -> None:
        self._state = _read(self.folder) or _new()
        if not (self.folder / PLACE / FILE).exists():
            self._keep(self._state)

    @property
    def place(self) -> Path:
        """Folder for what only the owner may read."""
        return self.folder / PLACE

    @property
    def groups(self) -> tuple[Group, ...]:
        """The groups, sorted as people do."""
        return tuple(sorted(self._state.groups, key=lambda group: natural(group.name)))

    @property
    def shares(self) -> bool:
        """Whether every group may see the results of the class."""
        return self._state.shares

    @property
    def signing_key(self) -> str:
        """Key with which sessions are signed."""
        return self._state.signing_key

    @property
    def secret_turn(self) -> int:
        """How often the instructor's secret was changed."""
        return self._state.secret_turn

    @property
    def has_secret(self) -> bool:
        """Whether the instructor has a secret yet."""
        return bool(self._state.secret)

    def group(self, name: str) -> Group:
        """Return a group.

        Raises
        ------
        UnknownGroupError
            If there is none of this name.
        """
        for group in self._state.groups:
            if group.name == name:
                return group
        raise UnknownGroupError(name)

    def group_of_code(self, typed: str) -> Group | None:
        """Return the group of a code as it was typed; None if it is nobody's.

        Every code is compared, each in the same time, so that the time tells nothing.
        """
        code = plain_code(typed).encode()
        found = None
        for group in self._state.groups:
            if hmac.compare_digest(group.code.encode(), code):
                found = group
        return found

    def new_secret(self) -> str:
        """Make a new secret for the instructor and return it; only its hash is kept."""
        blocks = (_letters(SECRET_BLOCK) for _ in range(SECRET_BLOCKS))
        secret = "-".join(blocks).lower()
        hashed = PasswordHasher().hash(plain_code(secret))
        with self._lock:
            turn = self._state.secret_turn + 1
            self._keep(replace(self._state, secret=hashed, secret_turn=turn))
        return secret

    def is_secret(self, typed: str) -> bool:
        """Return whether this is the instructor's secret; takes a tenth of a second."""
        if not self._state.secret:
            return False
        try:
            return PasswordHasher().verify(self._state.secret, plain_code(typed))
        except (VerificationError, InvalidHashError):
            return False

    def add(self, names: tuple[str, ...]) -> None:
        """Add groups.

        Raises
        ------
        InputError
            If a name cannot be used or there are too many; none was added.
        """
        faults = [fault for name in names for fault in _faults_of(name)]
        with self._lock:
            there = {group.name for group in self._state.groups}
            new = [name for name in dict.fromkeys(names) if name not in there]
            if len(there) + len(new) > MOST_GROUPS:
                found, allowed = f"{len(there) + len(new)} groups", f"at most {MOST_GROUPS}"
                faults.append(Fault(where="groups", found=found, allowed=allowed))
            if faults:
                raise InputError(faults)
            taken = {group.code for group in self._state.groups}
            groups = [*self._state.groups, *(Group(name=n, code=_code(taken)) for n in new)]
            self._keep(replace(self._state, groups=tuple(groups)))

    def new_code(self, name: str) -> None:
        """Give a group a new code; sessions with the old one end.

        Raises
        ------
        UnknownGroupError
            If there is no such group.
        """
        old = self.group(name)
        with self._lock:
            taken = {group.code for group in self._state.groups}
            new = replace(old, code=_code(taken), turn=old.turn + 1)
            groups = tuple(new if group.name == name else group for group in self._state.groups)
            self._keep(replace(self._state, groups=groups))

    def share(self, shares: bool) -> None:
        """Let every group see the results of the class, or no longer."""
        with self._lock:
            self._keep(replace(self._state, shares=shares))

    def _keep(self, state: _State) -> None:
        """Write a state to the disk, then let it count."""
        place = self.folder / PLACE
        try:
            place.mkdir(mode=0o700, exist_ok=True)
            # Some disks keep no rights (memory sticks); there the folder is as open as the rest.
            with contextlib.suppress(OSError):
                place.chmod(0o700)
        except OSError as error:
            raise cannot_write(place, error) from error
        text = json.dumps(asdict(state), indent=2, ensure_ascii=False) + "\n"
        (written,) = write_all(place, {FILE: text.encode()})
        with contextlib.suppress(OSError):
            written.chmod(0o600)
        self._state = state


def plain_code(typed: str) -> str:
    """Return a code or secret without what people add when they type it.

    Examples
    --------
    >>> plain_code(" kpm-7 xq")
    'KPM7XQ'
    """
    return "".join(c for c in typed.upper()[:100] if c.isascii() and c.isalnum())


def _letters(length: int) -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(length))


def _code(taken: set[str]) -> str:
    code = _letters(CODE_LENGTH)
    while code in taken:
        code = _letters(CODE_LENGTH)
    taken.add(code)
    return code


def _faults_of(name: str) -> list[Fault]:
    if _NAME.fullmatch(name):
        return []
    allowed = f"1 to {MOST_NAME} letters, digits, spaces, points or dashes"
    return [Fault(where="name of a group", found=repr(name[:MOST_NAME]), allowed=allowed)]


def _new() -> _State:
    return _State(
        groups=(Group(name=LONE_GROUP, code=_letters(CODE_LENGTH)),),
        shares=False,
        secret="",
        signing_key=secrets.token_hex(32),
        secret_turn=0,
    )


def _read(folder: Path) -> _State | None:
    place = folder / PLACE / FILE
    try:
        given = json.loads(place.read_text(encoding="utf-8"))
        return _state_of(given)
    except FileNotFoundError:
        return None
    except OSError as error:
        found = (error.strerror or "it cannot be read").lower()
        raise InputError(
            [Fault(where=str(place), found=found, allowed="a file that you may read")]
        ) from None
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        do = "Remove it: groups get new codes, and the next --share prints a new secret."
        raise InputError(
            [Fault(where=str(place), found="something else", allowed="groups and codes", do=do)]
        ) from None


def _state_of(given: Mapping[str, Any]) -> _State:
    state = _State(
        groups=tuple(Group(**group) for group in given["groups"]),
        shares=bool(given["shares"]),
        secret=str(given["secret"]),
        signing_key=str(given["signing_key"]),
        secret_turn=int(given["secret_turn"]),
    )
    key = bytes.fromhex(state.signing_key)
    if len(key) < 32 or not state.groups:
        raise ValueError("not whole")
    return state
