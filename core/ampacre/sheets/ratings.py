"""What a piece withstands, and the words for its main: every sheet asks here."""

from ampacre.model import records as r
from ampacre.model.standing import work_of
from ampacre.quantity import show
from ampacre.rules.supplies import lugs_only
from ampacre.study.facts import EquipmentFacts
from ampacre.study.settle import interrupting_of, main_of

__all__ = ["bound_mark", "main_ka", "main_words", "rated_ka"]


def bound_mark(facts: EquipmentFacts) -> str:
    """Give the mark of a fault current that rests on what was not read: to be verified."""
    return "*" if facts.fault and facts.fault.at_most else ""


def main_words(piece: r.Panel | r.Disconnect) -> str:
    """Say the main of a piece; without one, lugs only where that is known: "main 400 A, 22 kA"."""
    main = piece.main
    if main is None:
        return "main lugs only" if lugs_only(piece) else "main not read"
    word = "main fuses" if main.kind == "fuse" else "main"
    unread = "not chosen" if work_of(piece) == "new" else "not read"
    stands_ka = main_ka(piece)
    kilo = f", {show(stands_ka, 'ka')}" if stands_ka else ""
    return f"{word} {show(main.rating_a, 'a') if main.rating_a else unread}{kilo}"


def main_ka(piece: r.Equipment) -> float | None:
    """Interrupting rating of a piece's main [kA]; None where it is not read.

    One that bears no mark counts as 5 kA, fuses as 10 kA (NEC 240.83(C), 240.60(C)).
    """
    return interrupting_of(main_of(piece), new=False, fault_ka=None).value


def rated_ka(piece: r.Equipment) -> float | None:
    """The lesser of a piece's short-circuit rating and its main's interrupting rating [kA].

    None where neither is read.
    """
    known = (getattr(piece, "short_circuit_ka", None), main_ka(piece))
    return min((ka for ka in known if ka is not None), default=None)
