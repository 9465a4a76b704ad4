"""What a value of a record may be: bounds of numbers and texts, and choices in the trade's words.

Bounds are part of the types, so that a file and an edit are held to the same limits. Units are in
the names of fields: `_m` metre, `_mm` millimetre, `_a` ampere, `_v` volt, `_va` volt-ampere, `_kw`
kilowatt, `_kva` kilovolt-ampere, `_ka` kiloampere, `_pct` per cent, `_c` degree Celsius, `_m2`
square metre, `_hp` horsepower.
"""

from typing import Annotated, Literal

from msgspec import Meta

__all__ = [
    "Amperes",
    "Basis",
    "Celsius",
    "Count",
    "Date",
    "Degrees",
    "DeviceVolts",
    "DutyPercent",
    "Edition",
    "Horsepower",
    "Id",
    "Insulation",
    "Kilo",
    "KiloAmperes",
    "Label",
    "Material",
    "Metres",
    "Millimetres",
    "Occupancy",
    "Owner",
    "PaperName",
    "Percent",
    "Place",
    "Position",
    "PowerFactor",
    "RacewayKind",
    "Ratio",
    "ReceptacleAmperes",
    "Role",
    "SiteMetres",
    "Size",
    "Space",
    "SquareMetres",
    "Terminal",
    "Text",
    "TradeSize",
    "VoltAmperes",
    "Volts",
]

Id = Annotated[str, Meta(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9_-]+$")]
Label = Annotated[str, Meta(max_length=120)]
Text = Annotated[str, Meta(max_length=4000)]
# Ratings have a least value above zero, so that no quotient of them overflows.
Amperes = Annotated[float, Meta(ge=0.001, le=6000)]
Volts = Annotated[float, Meta(ge=1, le=50_000)]
VoltAmperes = Annotated[float, Meta(ge=0, le=1e8)]
KiloAmperes = Annotated[float, Meta(ge=0.001, le=1000)]
Kilo = Annotated[float, Meta(ge=0.001, le=1e5)]
Metres = Annotated[float, Meta(ge=0, le=100_000)]
SquareMetres = Annotated[float, Meta(ge=0, le=1e6)]
Percent = Annotated[float, Meta(ge=0.01, le=100)]
Celsius = Annotated[float, Meta(ge=-60, le=90)]
Ratio = Annotated[float, Meta(ge=0.01, le=100)]
Horsepower = Annotated[float, Meta(ge=0.001, le=1000)]
Count = Annotated[int, Meta(ge=0, le=100)]
Space = Annotated[int, Meta(ge=1, le=126)]
Millimetres = Annotated[float, Meta(ge=-1e6, le=1e6)]
SiteMetres = Annotated[float, Meta(ge=-100_000, le=100_000)]

Owner = Literal["customer", "utility"]
Basis = Literal[
    "connected",
    "general",
    "standard dwelling",
    "optional dwelling",
    "existing dwelling",
    "measured",
    "multifamily optional",
    "two dwellings",
    "farm building",
    "farm",
    "recreational-vehicle park",
    "marina",
    "mobile-home park",
    "mobile home",
]
Occupancy = Literal[
    "armory or auditorium", "automotive", "bank", "barber or beauty shop", "church", "club",
    "convention center", "courthouse", "dormitory", "exercise center", "fire station",
    "commercial garage", "gymnasium", "clinic", "hospital", "hotel or motel", "industrial loft",
    "library", "lodge", "factory", "movie theater", "museum", "office", "parking garage",
    "penitentiary", "performing arts theater", "police station", "post office", "restaurant",
    "retail store", "school", "sports arena", "town hall", "transportation", "warehouse",
    "workshop", "assembly hall", "corridor or stairs", "storage space",
]  # fmt: skip
Role = Literal[
    "utility",
    "service",
    "feeder",
    "branch",
    "tap",
    "transformer secondary",
    "generator output",
    "supply-side source",
]
Position = Literal["normal", "standby", "open", "closed"]
Material = Literal["cu", "al"]
Size = Literal[
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0",
    "250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000",
]  # fmt: skip
Place = Literal[
    "yard",
    "under driveway",
    "under road",
    "under building",
    "indoors",
    "outdoors",
    "on roof",
    "overhead",
]
TradeSize = Literal[
    "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6",
]  # fmt: skip
RacewayKind = Literal[
    "pvc", "pvc 80", "steel", "aluminum", "imc", "emt", "fmc", "lfmc", "lfnc", "ent",
    "direct burial", "cable",
]  # fmt: skip
"""Steel and aluminum are rigid conduit; the rest go by their letters in the trade."""
Insulation = Literal[
    "TW", "THW", "THWN", "THWN-2", "THHN", "XHHW", "XHHW-2", "RHW", "RHW-2", "USE", "USE-2",
    "NM-B", "UF-B", "SER", "SEU",
]  # fmt: skip
Terminal = Literal[60, 75, 90]
DeviceVolts = Literal["120", "120/240", "240", "277/480", "480", "600"]
ReceptacleAmperes = Literal[15, 20, 30, 40, 50, 60]
Degrees = Annotated[float, Meta(ge=0, le=3600)]
Edition = Literal["2017", "2020", "2023"]
Date = Annotated[str, Meta(max_length=10)]
PowerFactor = Annotated[float, Meta(ge=0.1, le=1)]
PaperName = Literal["ANSI B", "ANSI D", "Arch D", "A3", "letter"]
DutyPercent = Literal[20, 30, 40, 50, 60, 70, 80, 90, 100]
