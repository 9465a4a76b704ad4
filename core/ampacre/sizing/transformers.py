"""Rated currents of transformers and the devices that protect them."""

import math
from typing import Literal

from ampacre.codebook.devices import next_standard, standard_below
from ampacre.codebook.transformers import protection_limit

__all__ = ["rated_current_a", "transformer_device_a"]


def rated_current_a(kva: float, line_v: float, phases: int) -> float:
    """Rated current of a winding [A]: S / V, for three phases S / (sqrt(3) V)."""
    return kva * 1000 / (line_v * (math.sqrt(3) if phases == 3 else 1.0))


def transformer_device_a(
    side: Literal["primary", "secondary"], rated_a: float, edition: str, *, with_secondary: bool
) -> float:
    """Largest device that protects a transformer [A] (NEC Table 450.3(B)).

    125 per cent of the rated current `rated_a` [A] may go to the next standard rating; 167, 250
    and 300 per cent may not. Without a secondary device there is no limit on that side: infinity.
    """
    limit = protection_limit(side, rated_a, with_secondary=with_secondary)
    if limit is None:
        return math.inf
    most_a = limit.value.pct / 100 * rated_a
    if limit.value.next_size_up:
        return next_standard(most_a, edition) or standard_below(most_a, edition)
    return standard_below(most_a, edition)
