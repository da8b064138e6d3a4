"""Hazard pictograms, drawn here after the open standard.

The UN GHS (ST/SG/AC.10/30), 1.4.10.4 and Annex 1: a square set on a point, a black symbol on white
in a red frame wide enough to be seen. The symbols were drawn for this project from the standard's
names and descriptions; a label of the supplier's own remains the better one where there is one.
"""

from __future__ import annotations

RED = "#d2232a"
FRAME = 5.5
"""Width of the frame, in hundredths of the diamond's height."""

_FLAME = (
    "M50 20C53 28 61 33 63 42C65 38 65.5 35 65 31C71 38 73 45 72 52C71 62 62 68 50 68"
    "C38 68 29 62 28 52C27.5 46 30 41 34 37C34 41 35.5 44 38 46C38 36 45 30 50 20Z"
    "M50 64C57 64 61 60 61 54.5C61 50 58.5 47.5 57.5 44C55.5 46 54.5 48 54 50.5"
    "C52 46 51 43 51.5 38C46 43 44.5 47 44.5 51C43 50 42 48.5 41.5 46.5"
    "C39.5 49 38.5 51.5 38.5 54.5C38.5 60 43 64 50 64Z"
)

_SYMBOLS = {
    # A flame standing on a line.
    "GHS02": (
        '<g transform="translate(6 3.5) scale(.88)">'
        f'<path fill-rule="evenodd" d="{_FLAME}"/><path d="M29 71.5h42v4.5h-42z"/></g>'
    ),
    # A flame on a ring, standing on a line.
    "GHS03": (
        '<g transform="translate(9 6) scale(.82)">'
        f'<g transform="translate(14.5 3.5) scale(.71)"><path fill-rule="evenodd" d="{_FLAME}"/>'
        "</g>"
        '<circle cx="50" cy="62" r="11.2" fill="none" stroke="#000" stroke-width="4.6"/>'
        '<path d="M32 77h36v4h-36z"/></g>'
    ),
    # Two tilted test tubes; one drips onto a bar of metal, the other onto a hand.
    "GHS05": (
        '<g transform="translate(10 6.5) scale(.8)">'
        '<g fill="none" stroke="#000" stroke-width="2" stroke-linejoin="round">'
        '<path d="M42.5 27.5L27.6 38.6L31.2 43.4L46.2 32.3A3 3 0 0 0 42.5 27.5Z" fill="#fff"/>'
        '<path d="M57.5 27.5L72.4 38.6L68.8 43.4L53.8 32.3A3 3 0 0 1 57.5 27.5Z" fill="#fff"/>'
        "</g>"
        '<path d="M37.5 31.2L27.6 38.6L31.2 43.4L38 38.4Z"/>'
        '<path d="M62.5 31.2L72.4 38.6L68.8 43.4L62 38.4Z"/>'
        '<path d="M28.6 44.6c1.6 2.6 2 3.6 2 4.6a2 2 0 0 1-4 0c0-1 .4-2 2-4.6z"/>'
        '<path d="M30.3 51.6c1.4 2.2 1.7 3.2 1.7 4a1.7 1.7 0 0 1-3.4 0c0-.8.3-1.8 1.7-4z"/>'
        '<path d="M71.4 44.6c1.6 2.6 2 3.6 2 4.6a2 2 0 0 1-4 0c0-1 .4-2 2-4.6z"/>'
        '<path d="M69.7 50.6c1.4 2.2 1.7 3.2 1.7 4a1.7 1.7 0 0 1-3.4 0c0-.8.3-1.8 1.7-4z"/>'
        '<path d="M17 62h9.2l1.4 3.2 1.6-1.4 1.5 4 2-3.2 1.6 1.8 1.6-4.4H47v9.4H17z"/>'
        '<g fill="none" stroke="#000" stroke-width="1.3" stroke-linecap="round">'
        '<path d="M24.5 59.4c-1.6-1.6 1.2-2.6-.2-4.6M36.2 59.4c-1.6-1.6 1.2-2.6-.2-4.6"/>'
        '<path d="M63.6 58.2c-1.6-1.6 1.2-2.6-.2-4.6M76 58.6c-1.6-1.6 1.2-2.6-.2-4.6"/>'
        "</g>"
        '<path d="M52 67.4c3.4-2 5.6-4.6 8.6-5.2l4.6-.6 2.1 2.2 1.8-1 1.4 2 2-2.6 2.5-.6'
        "c2.2-.4 3 1.6 1.2 2.6l-3 1.6h9c2.4 0 2.6 3 .4 3.3l-6.4.6 3.4.5c2.2.4 1.8 3.2-.4 3.1"
        'l-14.6-.5c-2.8-.1-4.8 1.5-7.6 1.9l-5 .1z"/></g>'
    ),
    # An exclamation mark.
    "GHS07": (
        '<path d="M50 21.5c4.7 0 7.9 3.6 7.5 8.4l-3 27.6c-.3 2.8-2 4.4-4.5 4.4s-4.2-1.6-4.5-4.4'
        'l-3-27.6c-.4-4.8 2.8-8.4 7.5-8.4z"/><circle cx="50" cy="72" r="6.6"/>'
    ),
}

DRAWN = tuple(_SYMBOLS)
"""Codes that are drawn here; others are named in words."""


def pictogram(code: str) -> str:
    """Return a pictogram as SVG, 100 units high.

    Parameters
    ----------
    code : str
        One of `DRAWN`.

    Raises
    ------
    KeyError
        If it is not drawn here.
    """
    inner = FRAME * 2**0.5 / 2
    top, bottom = inner, 100 - inner
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        f'<path d="M50 {top:.2f}L{bottom:.2f} 50L50 {bottom:.2f}L{top:.2f} 50Z" fill="#fff" '
        f'stroke="{RED}" stroke-width="{FRAME}" stroke-linejoin="miter"/>'
        f"{_SYMBOLS[code]}</svg>"
    )
