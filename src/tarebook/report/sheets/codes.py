"""The code on a sheet that leads the recorder to its run.

Two forms. Without an address the code holds a text of four parts with single spaces between them::

    TB1 <first 8 of the definition's hash, in capitals> <group> <run>

With an address (``--address http://192.168.1.20:8000``) it holds a link that any phone opens::

    <address>/run/<group>/<run>?e=<hash8>

Group and run are percent-encoded (RFC 3986), so neither holds a space or a slash. A recorder goes
by group and run; the hash says whether the sheet was printed from the definition it knows. A
definition that changed since (the strength was titrated) is no reason to refuse the sheet.
"""

from __future__ import annotations

import io
from urllib.parse import SplitResult, quote, urlsplit

import segno

from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.series.faults import shown

MARK = "TB1"
DIGEST_LETTERS = 8
LONGEST_ADDRESS = 200


def run_code(digest: str, group: str, run: str, address: str = "") -> str:
    """Return the text of the code of a run.

    Parameters
    ----------
    digest : str
        Hash of the definition.
    group, run : str
    address : str
        Where the recorder is; empty for the form without a link.

    Examples
    --------
    >>> run_code("1a2b3c4d5e", "3", "A 1")
    'TB1 1A2B3C4D 3 A%201'
    >>> run_code("1a2b3c4d5e", "3", "5", "http://192.168.1.20:8000/")
    'http://192.168.1.20:8000/run/3/5?e=1A2B3C4D'
    """
    short = digest[:DIGEST_LETTERS].upper()
    where, what = quote(group, safe=""), quote(run, safe="")
    if address:
        return f"{address.rstrip('/')}/run/{where}/{what}?e={short}"
    return f"{MARK} {short} {where} {what}"


def check_address(address: str) -> None:
    """Raise unless a text can stand before ``/run/...`` in a link.

    Raises
    ------
    InputError
        If it is no address of http or https.
    """
    link = _link(address) if len(address) <= LONGEST_ADDRESS else None
    if (
        link
        and link.scheme in ("http", "https")
        and link.hostname
        and not link.query
        and not link.fragment
    ):
        return
    fault = Fault(
        where=AskedFor.ADDRESS,
        found=shown(address),
        allowed=f"an address such as http://192.168.1.20:8000, of at most {LONGEST_ADDRESS} "
        "characters",
        do="Leave it out for codes that need no address.",
    )
    raise InputError([fault])


def _link(text: str) -> SplitResult | None:
    """Return the parts of an address; None for one that cannot be."""
    try:
        link = urlsplit(text)
        # A port that is none is found when it is asked for.
        return link if link.port is None or link.port else None
    except ValueError:
        return None


def square(text: str) -> str:
    """Return a text as a QR code (ISO/IEC 18004, level M): SVG, one unit a module, no margin.

    Parameters
    ----------
    text : str
    """
    try:
        made = segno.make(text, error="m", micro=False, boost_error=False)
    except segno.DataOverflowError:
        fault = Fault(
            where="the square on a sheet",
            found=f"{len(text)} characters, beginning with {shown(text)}",
            allowed="no more than a square can hold, about 2,300",
            do="Shorten the names of runs, or the address.",
        )
        raise InputError([fault]) from None
    out = io.BytesIO()
    bare = {"xmldecl": False, "nl": False, "svgclass": None, "lineclass": None}
    made.save(out, kind="svg", border=0, omitsize=True, **bare)
    return out.getvalue().decode("utf-8")
