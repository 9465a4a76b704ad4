"""The sample projects that a newcomer opens first."""

from importlib import resources
from typing import NamedTuple

from ampacre.model.project import Project
from ampacre.store.file import decode

__all__ = ["ORCHARD", "SAMPLES", "Sample", "sample_project"]


class Sample(NamedTuple):
    """A sample's file, what it is called, and what it shows."""

    file: str
    title: str
    shows: str


ORCHARD = "harrow_orchard.ampacre"
SAMPLES = (
    Sample(
        "first_charger.ampacre",
        "First Charger",
        "A 200 A house gets a 48 A charger and a shed",
    ),
    Sample(
        ORCHARD,
        "Harrow Lane Orchard",
        "Two services, five chargers, and a good deal overloaded",
    ),
    Sample(
        "harrow_orchard_upgraded.ampacre",
        "Orchard, Put Right",
        "The same orchard with its upgrade designed",
    ),
)


def sample_project(file: str) -> Project:
    """Read a sample; it is a copy, which is never saved over."""
    return decode((resources.files("ampacre_samples") / file).read_bytes(), file)
