"""What the upward pass finds at each piece, and what it knows before it starts."""

from collections.abc import Mapping
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.model.project import Project
from ampacre.study.circuit import Carried
from ampacre.study.demand import Figure
from ampacre.study.facts import Demand
from ampacre.study.memo import Memo
from ampacre.study.tally import Tally
from ampacre.study.terms import Beyond, Rules
from ampacre.study.tree import Tree

__all__ = ["Below", "Given", "Loads", "Site"]


class Below(NamedTuple):
    """What hangs below a point, itself included: all load, and what a parent takes of it.

    The two differ where a measured record stands for the load below its point, and in that loads
    which a method keeps together are marked with its point.
    """

    tally: Tally
    offered: Tally


class Loads(NamedTuple):
    """Load at one piece: what is below it, by which basis, and the demand.

    `basis` is the piece's own or, where all load comes over one run, that of the piece below.
    `dwelling_va` is the load of the one dwelling whose own method was used here, without chargers.
    `apart` is what lies beyond each managed group that measures here or below.
    """

    below: Below
    basis: r.Basis | None
    figure: Figure
    transferred: Demand | None
    dwelling_va: Mapping[str, float] = {}
    apart: Mapping[str, Beyond] = {}

    @property
    def demand(self) -> Demand:
        """Demand by the basis."""
        return self.figure.demand


class Given(NamedTuple):
    """What holds for every piece alike.

    `member_of` gives the group that each piece counts in, `serving` counts the pieces that serve
    each dwelling in the whole project.
    """

    rules: Rules
    member_of: Mapping[str, str]
    serving: Mapping[str, int]


class Site(NamedTuple):
    """What the pass knows of a bay before it starts."""

    project: Project
    tree: Tree
    member_of: Mapping[str, str]
    rules: Rules
    carried: Mapping[str, Carried]
    serving: Mapping[str, int]
    parks: Mapping[str, r.Basis]
    memo: Memo
