"""Spare capacity of a point: its ratings beside the currents that each of them faces."""

from collections.abc import Iterator
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.study.facts import Demand, EquipmentFacts, Line, Worksheet

__all__ = ["Faced", "capacity", "capacity_worksheet", "tightest"]


class Faced(NamedTuple):
    """A rating of a piece and what it faces; both in `unit`."""

    what: str
    rating: float
    faces: str
    load: float
    unit: str = "A"

    @property
    def spare(self) -> float:
        """What the rating leaves; below zero it is exceeded."""
        return self.rating - self.load

    @property
    def fits(self) -> bool:
        """Whether the rating carries the load."""
        return self.spare >= -1e-9 * self.rating


def capacity(facts: EquipmentFacts) -> tuple[Faced, ...]:
    """Every rating of a piece that is known, stated or chosen, with what it faces.

    A device faces the sizing current, or the calculated one where it is listed for 100 % (NEC
    215.3, 230.90); a bus, switch, transfer switch and meter the calculated current of the heavier
    leg (408.30; common practice); a transformer the calculated load, and its winding the heavier
    leg; a generator what is transferred.
    """
    if facts.demand is None:
        return ()
    return tuple(_faced(facts, facts.demand))


def tightest(facts: EquipmentFacts) -> Faced | None:
    """The rating of a piece with the least left, in proportion."""
    return min(capacity(facts), key=lambda faced: faced.spare / faced.rating, default=None)


def _rating(facts: EquipmentFacts, name: str) -> float | None:
    chosen = facts.chosen.get(name)
    return chosen if chosen is not None else getattr(facts.piece, name, None)


def _faced(facts: EquipmentFacts, demand: Demand) -> Iterator[Faced]:
    piece = facts.piece
    main = getattr(piece, "main", None)
    if isinstance(main, r.Device):
        rating_a = main.rating_a or facts.chosen.get("main.rating_a")
        if rating_a is not None:
            whole = main.listed_100_pct
            load_a = demand.heavier_a if whole else demand.heavier_sizing_a
            yield Faced("main device", rating_a, "calculated" if whole else "sizing", load_a)
    names = {
        r.Panel: ("bus_a", "bus"),
        r.Meter: ("class_a", "meter socket"),
        r.Disconnect: ("rating_a", "switch"),
        r.TransferSwitch: ("rating_a", "transfer switch"),
    }
    if type(piece) in names:
        name, what = names[type(piece)]
        rating_a = _rating(facts, name)
        if rating_a is not None:
            yield Faced(what, rating_a, "calculated", demand.heavier_a)
    if isinstance(piece, r.Transformer):
        kva = _rating(facts, "kva")
        if kva is not None:
            yield Faced("transformer", kva, "calculated", demand.calculated_va / 1000, "kVA")
            if facts.system is not None:
                yield from _winding(kva, facts, demand)


def _winding(kva: float, facts: EquipmentFacts, demand: Demand) -> Iterator[Faced]:
    """The winding of each leg carries its own part of the rating, whatever the others do."""
    assert facts.system is not None
    legs = len(facts.system.legs)
    if legs > 1:
        by_line_a = 1000 * kva / facts.system.line_v / (3**0.5 if legs == 3 else 1)
        yield Faced("winding, heavier leg", by_line_a, "calculated", demand.heavier_a)


def capacity_worksheet(facts: EquipmentFacts) -> Worksheet:
    """Spare capacity as lines: rating, load, and what is left."""
    lines: list[Line] = []
    for faced in capacity(facts):
        word = "carries" if faced.fits else "does not carry"
        note = f"{word} the {faced.faces} load"
        lines += [
            Line(f"Rating of the {faced.what}", None, None, faced.rating, faced.unit),
            Line(f"Load that it faces, {faced.faces}", None, None, faced.load, faced.unit),
            Line(f"Spare of the {faced.what}", None, None, faced.spare, faced.unit, note=note),
        ]
    return Worksheet(f"Spare capacity of {facts.piece.name}", tuple(lines))
