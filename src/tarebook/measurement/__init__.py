"""Instruments, buoyancy, volume from mass, and the propagation of what they do not know."""
