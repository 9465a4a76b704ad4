"""What a project keeps beside the drawing: answers, groups, placements, stages, states, sets."""

from typing import Annotated, Literal

from msgspec import Meta

from ampacre.model.records.bounds import Amperes, Date, Id, Label, Millimetres, Position, Text
from ampacre.model.records.record import Record

__all__ = [
    "WORK",
    "Accepted",
    "Answer",
    "AnyGroup",
    "Issue",
    "ManagedGroup",
    "NoncoincidentGroup",
    "Placement",
    "Stage",
    "State",
]


class Answer(Record, frozen=True, kw_only=True):
    """What somebody saw on site, in answer to a keyed question about a place.

    `who` saw it, `when` is the day in ISO 8601; empty where nobody put it down.
    """

    question: Label
    where: Id
    value: Literal["yes", "no", "unknown"]
    note: Text = ""
    who: Label = ""
    when: Label = ""


class ManagedGroup(Record, frozen=True, kw_only=True, tag_field="kind", tag="managed"):
    """Chargers, or groups of them, held under one limit by a listed energy management system.

    It `holds` to the limit what its members draw, or all load at the piece where it measures
    (`measured_at`), a service or a panel, by turning its members down.
    """

    name: Label
    members: tuple[Id, ...]
    limit_a: Amperes
    holds: Literal["members", "all load"] = "members"
    measured_at: Id | None = None
    listed: bool | None = None
    access_restricted: bool | None = None
    fail_safe_a: Amperes | None = None


class NoncoincidentGroup(Record, frozen=True, kw_only=True, tag_field="kind", tag="noncoincident"):
    """Loads of which only one runs at a time."""

    name: Label
    members: tuple[Id, ...]


AnyGroup = ManagedGroup | NoncoincidentGroup


class Placement(Record, frozen=True, kw_only=True):
    """How far a piece (same id) is moved by hand from its tidy place on the drawing."""

    dx_mm: Millimetres = 0.0
    dy_mm: Millimetres = 0.0


class Accepted(Record, frozen=True, kw_only=True):
    """A finding that somebody accepted, and why."""

    rule: Label
    where: Id
    about: Label = ""
    reason: Text
    who: Label = ""
    when: Label = ""


class Stage(Record, frozen=True, kw_only=True):
    """A step of the work; stages follow one another by `order`."""

    name: Label
    order: Annotated[int, Meta(ge=0, le=10_000)] = 0


class State(Record, frozen=True, kw_only=True):
    """Positions of transfer switches and devices (by id of switch or run) in one situation."""

    name: Label
    positions: dict[Id, Position]


class Issue(Record, frozen=True, kw_only=True):
    """A set of sheets that was handed in; `digest` is that of the project it was made from."""

    number: Annotated[int, Meta(ge=0, le=10_000)]
    date: Date = ""
    note: Text = ""
    digest: Annotated[str, Meta(max_length=64)] = ""


WORK = "work"
"""Id of the one stage that a new project has."""
