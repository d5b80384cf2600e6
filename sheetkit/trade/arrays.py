"""Names for arrays in signatures, without importing numpy before it is needed."""

from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array: TypeAlias = NDArray[np.float64]
    Places: TypeAlias = NDArray[np.intp]
else:
    Array = Places = object
