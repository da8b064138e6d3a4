"""Checks of the readings: findings with evidence and what to do now."""
