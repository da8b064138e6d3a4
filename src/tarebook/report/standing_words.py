"""Sentences that stand in every report, whatever it reports."""

from __future__ import annotations

ABOUT_U = (
    "The number after ± is u, the standard uncertainty: how far off the value may well be. "
    "The 95\u00a0% interval is where the true value lies in about 19 of 20 such experiments."
)
