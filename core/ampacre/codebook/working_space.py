"""The space in front of equipment that somebody may have to work on while it is live."""

from ampacre.codebook.tables import Cited, rows

__all__ = ["working_depths_ft"]


def working_depths_ft(ground_v: float) -> Cited[tuple[float, ...]] | None:
    """Least depths of the working space by what stands opposite [ft] (NEC Table 110.26(A)(1)).

    Nothing live or grounded; grounded parts, concrete and brick among them; live parts on both
    sides. `ground_v` is the voltage to ground. None above 1000 V.
    """
    depths: dict[str, float] = {}
    verified = 2
    for row in rows("working_space"):
        if row["condition"] not in depths and ground_v <= float(row["volts_to_ground_max"]):
            depths[row["condition"]] = float(row["depth_ft"])
            verified = min(verified, int(row["verified"]))
    if not depths:
        return None
    return Cited(
        tuple(depths[condition] for condition in sorted(depths)), "working_space", verified
    )
