"""Slips: what may have gone wrong, each a hypothesis that is weighed by the forward model."""
