"""What a route refuses, as phrases: the answer says them in the language of the device."""

from __future__ import annotations

from starlette.exceptions import HTTPException

from tarebook import api


class Refusal(HTTPException):
    """A request that is refused.

    Parameters
    ----------
    status : int
    code : str
        For scripts.
    said : Phrase or str
        For people; what to ``do`` is another text of the same message. Only where the words come
        from elsewhere they are a text.
    wait : int
        Seconds to wait before the next try; 0 if waiting does not help.
    """

    def __init__(self, status: int, code: str, said: api.Phrase | str, wait: int = 0) -> None:
        headers = {"retry-after": str(wait)} if wait else None
        super().__init__(status, code, headers)
        self.code, self.said = code, said


class BodyTooLargeError(Exception):
    """A body went on after its limit; it had not said how long it is."""


def not_joined() -> Refusal:
    """Return the refusal of somebody unknown."""
    return Refusal(401, "no-session", api.Phrase("app-not-joined"))


def for_instructor() -> Refusal:
    """Return the refusal of a group at a page of the instructor."""
    return Refusal(403, "not-yours", api.Phrase("app-for-instructor"))


def of_other_group() -> Refusal:
    """Return the refusal of a group at the readings of another."""
    return Refusal(403, "not-yours", api.Phrase("app-of-other-group"))


def no_such_group() -> Refusal:
    """Return the refusal of a group that is not there."""
    return Refusal(404, "not-found", api.Phrase("app-no-such-group"))


def no_such_file() -> Refusal:
    """Return the refusal of a file that is not there."""
    return Refusal(404, "not-found", api.Phrase("app-no-such-file"))


def not_understood(said: api.Phrase) -> Refusal:
    """Return the refusal of something that is not in the form it should be."""
    return Refusal(400, "not-understood", said)
