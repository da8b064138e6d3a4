"""Everything onto the bench: supplies, stock, air, hazards, waste, time."""
