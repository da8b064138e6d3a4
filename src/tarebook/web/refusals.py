"""What a route refuses, with the words that the answer gives."""

from __future__ import annotations

from starlette.exceptions import HTTPException


class Refusal(HTTPException):
    """A request that is refused.

    Parameters
    ----------
    status : int
    code : str
        For scripts.
    message, do : str
        For people.
    wait : int
        Seconds to wait before the next try; 0 if waiting does not help.
    """

    def __init__(self, status: int, code: str, message: str, do: str = "", wait: int = 0) -> None:
        headers = {"retry-after": str(wait)} if wait else None
        super().__init__(status, message, headers)
        self.code, self.message, self.do = code, message, do


class BodyTooLargeError(Exception):
    """A body went on after its limit; it had not said how long it is."""


def not_joined() -> Refusal:
    """Return the refusal of somebody unknown."""
    return Refusal(
        401,
        "no-session",
        "This device has not joined, or its session has ended.",
        "Join with the code of your group. What is not sent yet is kept on this device.",
    )


def for_instructor() -> Refusal:
    """Return the refusal of a group at a page of the instructor."""
    return Refusal(403, "not-yours", "This page is for the instructor.")


def of_other_group() -> Refusal:
    """Return the refusal of a group at the readings of another."""
    return Refusal(
        403,
        "not-yours",
        "These are the readings of another group.",
        "Open the page of your own group; join again if the group of this device has changed.",
    )


def no_such(what: str) -> Refusal:
    """Return the refusal of something that is not there."""
    return Refusal(404, "not-found", f"There is no such {what}.")


def not_understood(message: str) -> Refusal:
    """Return the refusal of something that is not in the form it should be."""
    return Refusal(400, "not-understood", message, "Load the page again, then repeat it.")
