"""Sentences that stand in every report, whatever it reports."""

from __future__ import annotations

SAFETY = (
    "Wear goggles from the first pour to the last rinse.",
    "Pour acid into water, never water into acid.",
    "Never stopper or cap a vessel that makes gas: it bursts.",
    "Work where the air is changed: the gas takes the place of the air you breathe.",
    "Wipe up spills at once. Rinse skin or eyes with plenty of water and tell the person in "
    "charge.",
    "Collect what is left over as your school or laboratory asks for it.",
    "Check the supplier's safety data sheets and the local rules; the person in charge decides.",
)

ABOUT_U = (
    "The number after ± is u, the standard uncertainty: how far off the value may well be. "
    "The 95\u00a0% interval is where the true value lies in about 19 of 20 such experiments."
)
