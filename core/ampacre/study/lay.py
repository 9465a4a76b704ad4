"""How a run lies: its place, the raceway it lies in, and what that means for its ampacity."""

from typing import Final, NamedTuple

from ampacre.codebook.articles import cite
from ampacre.codebook.conductors import insulation_column, roof_adder_c
from ampacre.model import records as r
from ampacre.sizing.ampacity import ASSUMED_INSULATION
from ampacre.sizing.portions import Portion, adjusted, governing
from ampacre.study.circuit import Circuit
from ampacre.study.facts import Chosen, Line

__all__ = ["CABLES", "Lay", "governing_portion", "is_wet", "place_of", "raceway_of"]

CABLES: Final = ("NM-B", "UF-B", "SER", "SEU")
_WET: tuple[r.Place, ...] = (
    "yard", "under driveway", "under road", "under building", "outdoors", "on roof", "overhead",
)  # fmt: skip
_WET_RACEWAYS = ("pvc", "pvc 80", "direct burial")


class Lay(NamedTuple):
    """What a run's ampacity has of its way: the governing ambient [C] and conductor count."""

    hottest_c: float
    current_carrying: int
    lines: tuple[Line, ...] = ()


def place_of(circuit: Circuit) -> Chosen[str | None]:
    """Where a run lies; for new work chosen by the structures at its ends, but not the utility's."""
    if circuit.run.place is not None:
        return Chosen(circuit.run.place)
    if circuit.work != "new" or circuit.run.owner == "utility":
        return Chosen(None, "unknown")
    if circuit.place_between == "yard":
        return Chosen("yard", "chosen", "its ends are not stated to be in one structure")
    return Chosen(circuit.place_between, "chosen", "both ends are in one structure")


def raceway_of(circuit: Circuit, place: str | None) -> Chosen[str | None]:
    """Kind of a run's own raceway; that of the utility's runs is not ours to choose."""
    run = circuit.run
    if run.raceway is not None:
        return Chosen(run.raceway)
    if circuit.work != "new" or run.owner == "utility":
        return Chosen(None, "assumed", "taken as plastic raceway")
    if run.conductors.insulation in CABLES or place == "overhead":
        return Chosen("cable", "chosen", "cable by its type or place")
    return Chosen("pvc", "chosen", "common practice outdoors and underground")


def is_wet(circuit: Circuit, place: Chosen[str | None], raceway: str | None) -> bool:
    """Whether a run lies in a wet place: outdoors and underground it does (NEC 300.5(B), 300.9).

    Where the place is not stated: in plastic raceway or in the ground, or on its way to another
    structure.
    """
    if any(way.raceway.place in _WET for way in circuit.ways):
        return True
    if place.value is not None:
        return place.value in _WET
    return raceway in _WET_RACEWAYS or circuit.place_between != "indoors"


def governing_portion(
    circuit: Circuit, place: str | None, sets: int, insulation: str | None, wet: bool
) -> Lay:
    """Find the portion of a run that decides its ampacity (NEC 310.14(A)(2)).

    Its own part at its own ambient and count; each raceway that it shares at that raceway's, with
    all conductors that heat it. In sun on a roof the ambient rises (310.15(B)(2)).
    """
    kind = insulation or ASSUMED_INSULATION
    own = circuit.current_carrying
    lines: list[Line] = []
    if own > 3:
        note = "most of the load is nonlinear"
        article = cite("neutral_counted", circuit.edition)
        lines.append(Line("The neutral counts as current-carrying", cite=article, note=note))
    portions: list[Portion] = []
    run = circuit.run
    inside_m = sum(way.length_m for way in circuit.ways)
    rest_m = None if run.length_m is None else run.length_m - inside_m
    if rest_m is None or rest_m > 0 or not circuit.ways:
        ambient_c = circuit.ambient_c + _adder(circuit, place, kind, lines)
        portions.append(Portion("by itself", rest_m, ambient_c, own))
    for way in circuit.ways:
        record = way.raceway
        ambient_c = circuit.ambient_c if record.ambient_c is None else record.ambient_c
        ambient_c += _adder(circuit, record.place, kind, lines)
        count = own * sets + way.others
        portions.append(Portion(f"in {record.name}", way.length_m, ambient_c, count))
    if len(portions) == 1:
        (deciding,) = portions
    else:
        deciding = governing(portions, insulation_column(kind, wet))
        lines.append(
            Line(
                f"Ampacity decided {deciding.name}, of {len(portions)} parts of its way",
                cite=cite("lower_ampacity", circuit.edition),
            )
        )
    deciding = adjusted(deciding)
    return Lay(deciding.ambient_c, deciding.current_carrying, tuple(lines))


def _adder(circuit: Circuit, place: str | None, kind: str, lines: list[Line]) -> float:
    if place != "on roof":
        return 0.0
    adder = roof_adder_c(kind)
    note = "close to the roof, in sun" if adder.value else f"{kind} is exempt"
    lines.append(
        Line(
            "Roof adder", None, None, adder.value, "C", cite(adder.cite_key, circuit.edition), note
        )
    )
    return adder.value
