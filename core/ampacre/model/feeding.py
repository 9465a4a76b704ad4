"""Which kinds of equipment pass power on, and which take it from somewhere else."""

from ampacre.model import records as r

__all__ = ["can_be_fed", "can_feed"]


def can_feed(piece: r.Equipment) -> bool:
    """Tell whether runs may leave a piece towards others."""
    return isinstance(piece, (r.Point, r.UtilitySource, r.Generator))


def can_be_fed(piece: r.Equipment) -> bool:
    """Tell whether a run may lead to a piece: not to what is itself a source."""
    return not isinstance(piece, (r.UtilitySource, r.Generator))
