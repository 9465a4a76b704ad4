"""What the sheets say of load management: chargers under a limit, and places that are held."""

from study.build import served

from ampacre.model import records as r
from ampacre.sheets.load_sheets import load_sheets
from ampacre.sheets.utility_sheet import utility_sheet
from ampacre.study.study import Study

BRANCH = {"role": "branch", "length_m": 10.0}


def study_of(**fields):
    site = served()
    site.add(r.Load, "heater", "p", BRANCH, va=240 * 60.0, continuous=False)
    for key in ("c1", "c2"):
        site.add(r.Charger, key, "p", BRANCH, nameplate_a=48.0)
    site.group(
        r.ManagedGroup, "Yard", "c1", "c2", limit_a=100.0, listed=True, access_restricted=True,
        fail_safe_a=12.0, **fields,
    )  # fmt: skip
    return Study(site.project())


def row(parts, title, first):
    table = next(part for part in parts if part.title.startswith(title))
    return next(row for row in table.rows if row[0] == first)


def managed(study):
    return row(load_sheets(study), "Load management", "Yard")[1:3]


def asked(study):
    return row(utility_sheet(study), "Load sheet", "Vehicle chargers")[1]


def test_a_held_place_is_named_on_sheet_and_letter():
    study = study_of(holds="all load", measured_at="p")
    assert managed(study) == (
        "100 A", "all load at p, where it measures, by turning down c1 and c2"
    )  # fmt: skip
    assert asked(study) == (
        "2, 23 kW by full hardware rating; turned down by Yard so that all load at p stays at 100 A"
    )


def test_a_limit_on_chargers_alone_says_where_it_is_measured():
    assert managed(study_of()) == ("100 A", "c1 and c2")
    assert managed(study_of(measured_at="p")) == ("100 A", "c1 and c2; measured at p")
    assert asked(study_of(measured_at="p")).endswith("; managed to 100 A")
    assert managed(study_of(holds="all load"))[1].startswith("all load at a place to be stated")
