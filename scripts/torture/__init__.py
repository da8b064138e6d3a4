"""The real server when it is killed, filled, replaced, flipped, flooded and cut off."""
