"""The array types that signatures use."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
"""Real numbers, any shape; the docstring of the function says which."""

BoolArray: TypeAlias = NDArray[np.bool_]
"""Truth values, any shape."""

IntArray: TypeAlias = NDArray[np.intp]
"""Places in other arrays."""

NumberArray: TypeAlias = NDArray[Any]
"""Real or complex numbers: a function that takes these can be differentiated by a complex step."""
