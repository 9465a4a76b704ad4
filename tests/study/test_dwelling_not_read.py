"""What of a dwelling nobody has read off is missing, and what is taken of it is said."""

from study.build import served

from ampacre.model import records as r
from ampacre.study.study import Study


def dwelling(*appliances, **motor):
    site = served(basis="optional dwelling")
    site.add(
        r.DwellingLoad, "house", "p", {"length_m": 5.0}, floor_area_m2=150.0, appliances=appliances
    )
    site.add(r.Motor, "outdoor unit", "p", {"role": "branch"}, full_load_a=24.0, **motor)
    return Study(site.project())


def test_an_appliance_without_a_figure_is_missing():
    oven = r.Appliance(kind="cooking", name="Oven")
    dryer = r.Appliance(kind="dryer", va=5_500.0)
    cooler = r.Appliance(kind="cooling", full_load_a=20.0)
    (missing,) = dwelling(oven, dryer, cooler).equipment("house").missing
    assert missing == "nameplate load of Oven: read it off"
    assert dwelling(dryer, cooler).equipment("house").missing == ()


def test_what_a_motor_of_a_dwelling_is_taken_for_is_said():
    def said(**motor):
        return dwelling(**motor).equipment("outdoor unit").assumptions

    assert said(serves="house") == ("taken as a motor that neither heats nor cools rooms",)
    assert said(serves="house", compressor=True) == ("taken as a heat pump",)
    assert said(serves="house", conditioning="heat pump") == ()
    assert said() == ()
