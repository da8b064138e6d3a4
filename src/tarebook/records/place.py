"""Where the folder of a record is, so that a copy of the folder is known as one."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A folder on a disk.

    Attributes
    ----------
    host : str
        Name of the computer.
    path : str
        Of the folder, without links.
    mark : str
        What the disk gives to a file of it and a copy does not have: moved within the disk, or seen
        from another computer, the folder keeps it.
    """

    host: str
    path: str
    mark: str

    def is_same(self, other: Place) -> bool:
        """Return whether two places are of one folder.

        Examples
        --------
        >>> one = Place(host="a", path="/pool", mark="7:1")
        >>> one.is_same(Place(host="a", path="/pool", mark="9:4"))
        True
        >>> one.is_same(Place(host="b", path="/mnt/pool", mark="7:1"))
        True
        >>> one.is_same(Place(host="a", path="/copy", mark="9:4"))
        False
        """
        there = (self.host, self.path) == (other.host, other.path)
        return there or self.mark == other.mark

    def __str__(self) -> str:
        return f"{self.path} on {self.host}"
