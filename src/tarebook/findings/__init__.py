"""Findings: what the checks and the plan noticed, as data."""
