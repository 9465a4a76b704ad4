"""Working space about equipment: how much of it, by voltage and rating, as seen on site."""

from typing import Final

from ampacre.model import records as r
from ampacre.rules.questions import ask_of_piece
from ampacre.rules.reading import main_of
from ampacre.study.facts import EquipmentFacts
from ampacre.study.study import Study

TOPIC = "working space"

_GEAR: Final = (r.Panel, r.Disconnect, r.TransferSwitch)
LOW_V: Final = 150.0
DOORS_A: Final = 800.0


def _to_ground_v(facts: EquipmentFacts) -> float | None:
    return facts.system.ground_v if facts.system is not None else None


def _rated_a(facts: EquipmentFacts) -> float:
    piece, main = facts.piece, main_of(facts.piece)
    ratings = (
        getattr(piece, "bus_a", None), getattr(piece, "rating_a", None),
        main.rating_a if main else None,
    )  # fmt: skip
    return max((rating for rating in ratings if rating is not None), default=0.0)


@ask_of_piece(
    "space-in-front", *_GEAR,
    topic=TOPIC, severity="violation", cite="working_space",
    text="Are there 3 ft of clear depth in front?",
)  # fmt: skip
def space_in_front(_study: Study, facts: EquipmentFacts) -> bool:
    """Equipment that may be worked on live has 3 ft of clear depth in front.

    Up to 150 V to ground, whatever stands opposite (NEC 110.26(A)(1)).
    """
    volts = _to_ground_v(facts)
    return volts is not None and volts <= LOW_V


@ask_of_piece(
    "space-in-front-above-low-volts", *_GEAR,
    topic=TOPIC, severity="violation", cite="working_space",
    text="Is the clear depth in front 3 ft before a bare wall, 3-1/2 ft before a grounded one such "
    "as concrete, 4 ft before live parts?",
)  # fmt: skip
def space_in_front_above_low_volts(_study: Study, facts: EquipmentFacts) -> bool:
    """Above 150 V to ground the clear depth in front goes by what stands opposite.

    3, 3-1/2 or 4 ft up to 600 V; concrete, brick and tile count as grounded (NEC 110.26(A)(1)).
    """
    volts = _to_ground_v(facts)
    return volts is not None and volts > LOW_V


@ask_of_piece(
    "space-width", *_GEAR,
    topic=TOPIC, severity="violation", cite="working_width",
    text="Is the space in front 30 in wide, or as wide as the equipment if that is wider, with "
    "doors that open square?",
)  # fmt: skip
def space_width(_study: Study, facts: EquipmentFacts) -> bool:
    """The working space is 30 in wide or as wide as the equipment.

    It may be off centre and shared with what stands beside; doors open 90 degrees (NEC
    110.26(A)(2)).
    """
    return facts.supplied


@ask_of_piece(
    "space-height", *_GEAR,
    topic=TOPIC, severity="violation", cite="working_height",
    text="Is the space in front 6 ft 6 in high, or as high as the equipment if that is higher?",
)  # fmt: skip
def space_height(_study: Study, facts: EquipmentFacts) -> bool:
    """The working space is 6 ft 6 in high or as high as the equipment.

    What belongs to the equipment above or below it may stand out 6 in (NEC 110.26(A)(3)).
    """
    return facts.supplied and facts.piece.location != "outdoors"


@ask_of_piece(
    "space-kept-clear", *_GEAR,
    topic=TOPIC, severity="warning", cite="working_clear",
    text="Is the space in front free of anything stored, and lit if it is indoors?",
)  # fmt: skip
def space_kept_clear(_study: Study, facts: EquipmentFacts) -> bool:
    """Nothing is stored in the working space.

    Indoors it has light that does not go out by automatic means alone (NEC 110.26(B), (D)).
    """
    return facts.supplied


@ask_of_piece(
    "dedicated-space", r.Panel,
    topic=TOPIC, severity="violation", cite="dedicated_space",
    text="Is the space above the panel, to 6 ft or the ceiling, free of pipes and ducts?",
)  # fmt: skip
def dedicated_space(_study: Study, facts: EquipmentFacts) -> bool:
    """The space over a panel belongs to electrical equipment.

    As wide and deep as the panel, from the floor to 6 ft above it or the structural ceiling (NEC
    110.26(E)).
    """
    return facts.supplied and facts.piece.location != "outdoors"


@ask_of_piece(
    "large-gear-way-out", *_GEAR,
    topic=TOPIC, severity="violation", cite="large_egress",
    text="Do doors within 25 ft open outward with panic hardware, and is there a way out at each "
    "end of gear of 1200 A that is wider than 6 ft?",
)  # fmt: skip
def large_gear_way_out(_study: Study, facts: EquipmentFacts) -> bool:
    """Equipment of 800 A or more has a way out that can't be blocked.

    Doors with panic hardware from 800 A, a way at each end from 1200 A and 6 ft of width (NEC
    110.26(C)).
    """
    return _rated_a(facts) >= DOORS_A and facts.piece.location != "outdoors"
