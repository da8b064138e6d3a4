"""From readings to amounts, and from amounts to the content of the sample."""
