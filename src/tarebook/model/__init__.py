"""The forward model of the cup: true amounts and nuisances to expected readings."""
