"""The joint fit: all readings of a series at once, by the forward model of the cup."""
