"""Boxes and the space in front of equipment."""

from typing import Literal

from ampacre.codebook.tables import Cited, rows

__all__ = ["box_volume_in3", "pull_box_multiplier", "working_depth_m"]

METRES_PER_FT = 0.3048


def box_volume_in3(size: str) -> Cited[float] | None:
    """Volume that each conductor of a size takes in a box [in3] (NEC Table 314.16(B)(1)).

    None from 4 AWG up, where the box is sized by its raceways (314.28).
    """
    for row in rows("box_fill"):
        if row["conductor_size_awg"] == size:
            return Cited(float(row["volume_in3_per_conductor"]), "box_volume", int(row["verified"]))
    return None


def pull_box_multiplier(pull: Literal["straight", "angle"]) -> Cited[float]:
    """Times the largest raceway's trade size that a pull box measures (NEC 314.28(A)).

    Straight pulls: its length. Angle and U pulls: from the entry to the far wall, with the trade
    sizes of the other raceways of the row added.
    """
    wanted = {"straight": "straight", "angle": "angle_u"}[pull]
    row = next(row for row in rows("pull_boxes") if row["rule_id"] == wanted)
    return Cited(float(row["multiplier"]), "pull_box", int(row["verified"]))


def working_depth_m(ground_v: float, condition: Literal[1, 2, 3]) -> Cited[float] | None:
    """Least depth of the working space in front of equipment [m] (NEC Table 110.26(A)(1)).

    Condition 1: nothing live or grounded opposite; 2: grounded parts opposite, concrete and brick
    among them; 3: live parts on both sides. `ground_v` is the voltage to ground. None above 1000 V.
    """
    for row in rows("working_space"):
        if row["condition"] == str(condition) and ground_v <= float(row["volts_to_ground_max"]):
            depth_m = float(row["depth_ft"]) * METRES_PER_FT
            return Cited(depth_m, "working_space", int(row["verified"]))
    return None
