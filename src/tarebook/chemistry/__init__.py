"""Formulas, atomic weights, balancing, stocks, solution densities: the chemistry of the cup."""
