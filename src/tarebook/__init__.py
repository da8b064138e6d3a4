"""Tarebook: from the readings of a mixing series to an answer with an honest uncertainty."""
