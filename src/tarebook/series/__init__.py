"""The definition of an experiment: reaction, sample, reagent, instruments, planned runs."""
