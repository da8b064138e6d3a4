"""Units, quantities with uncertainty and source, errors: what every other layer stands on."""
