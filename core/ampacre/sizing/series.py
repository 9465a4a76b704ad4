"""Series combinations of overcurrent devices."""

__all__ = ["series_counts"]


def series_counts(lower_ka: float, motors_between_a: float) -> bool:
    """Whether a marked series combination rating may be used at all (NEC 240.86(C)).

    Not where motors between the two devices draw more than one per cent of the lower device's own
    interrupting rating, full-load currents added: 100 A at 10 kA.
    """
    return motors_between_a <= 0.01 * lower_ka * 1000
