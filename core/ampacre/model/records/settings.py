"""What holds for the whole project."""

from typing import Annotated, Literal

from msgspec import Meta

from ampacre.model.records.bounds import (
    Amperes,
    Celsius,
    Date,
    Edition,
    Insulation,
    Kilo,
    Label,
    Material,
    Metres,
    PaperName,
    Percent,
    Text,
)
from ampacre.model.records.record import Record

__all__ = ["Settings"]


class Settings(Record, frozen=True, kw_only=True):
    """What holds for the whole project. There is one, with the id "project".

    `least_cover_m`, `required_material` and `required_insulation` are local amendments: the cover
    that stands for the code's, and the conductors that new work must have. `review_above_a` is the
    service size above which the office wants a seal or a formal review, `ct_above_a` that above
    which the utility meters by current transformers, `single_phase_kva` its largest single-phase
    service. `local_code` names the code that the place has adopted and its other amendments, which
    nothing is computed by. What is said of permits and of the utility is printed as it is entered.
    """

    name: Label = "Untitled property"
    address: Text = ""
    owner: Label = ""
    prepared_by: Label = ""
    jurisdiction: Label = ""
    utility: Label = ""
    scope: Text = ""
    notes: Text = ""
    edition: Edition = "2023"
    local_code: Text = ""
    units: Literal["us", "metric"] = "us"
    ambient_c: Celsius = 30.0
    feeder_drop_pct: Percent = 3.0
    branch_drop_pct: Percent = 3.0
    total_drop_pct: Percent = 5.0
    least_cover_m: Metres | None = None
    required_material: Material | None = None
    required_insulation: Insulation | None = None
    mixed_optional: Literal["tally", "block"] = "tally"
    optional_chargers: Literal["outside", "inside"] = "outside"
    cooking: Literal["column C", "lesser"] = "column C"
    existing_hvac: Literal["in the pool", "left out"] = "in the pool"
    measured_solar: Literal["gross only", "net over a year"] = "gross only"
    noncoincident_motor: Literal["added", "left out"] = "added"
    unnamed_leg: Literal["one leg", "all legs"] = "one leg"
    why_not_farm: Text = ""
    permit_number: Label = ""
    parcel: Label = ""
    occupancy: Label = ""
    owner_contact: Label = ""
    preparer_contact: Label = ""
    contractor: Label = ""
    licence: Label = ""
    owner_builder: bool | None = None
    engineer: Label = ""
    review_above_a: Amperes | None = None
    copies: Annotated[int, Meta(ge=1, le=20)] | None = None
    paper: PaperName = "ANSI B"
    utility_job: Label = ""
    utility_letter: Label = ""
    service_date: Date = ""
    meter_approval: Label = ""
    ct_above_a: Amperes | None = None
    single_phase_kva: Kilo | None = None
    outage: Label = ""
    easement: Label = ""
    dig_ticket: Label = ""
