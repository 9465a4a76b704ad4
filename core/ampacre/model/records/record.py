"""What all records are: typed, frozen, with an id; and what stands for a time."""

from msgspec import Struct

from ampacre.model.records.bounds import Id

__all__ = ["Record", "Standing"]


class Record(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Anything with an id that stands in a table of the project."""

    id: Id


class Standing(Record, frozen=True, kw_only=True):
    """What stands for a time: from stage `since` (None: it was there before) until `until`.

    `reuses` names the removed piece or run whose material this one is made of. Equipment and runs
    also have `was`, the record of what stood here before, under the same id, until `since`.
    """

    since: Id | None = None
    until: Id | None = None
    reuses: Id | None = None
