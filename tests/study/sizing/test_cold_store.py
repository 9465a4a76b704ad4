"""The cold store of the sample property: a longer feeder needs a larger grounding conductor."""

import dataclasses
from pathlib import Path

import msgspec

from ampacre.codebook.conductors import area_cmil
from ampacre.model import records as r
from ampacre.store.file import load
from ampacre.study.study import Study

SAMPLE = Path(__file__).parents[3] / "samples" / "harrow_orchard.ampacre"
RUN = "run-s1-cold"


def with_run(project, **fields):
    run = msgspec.structs.replace(project.runs[RUN], **fields)
    return dataclasses.replace(project, runs={**project.runs, RUN: run})


def needed(project, length_m):
    """Chosen conductors and the grounding conductor they need, the sizes left to the study."""
    empty = with_run(project, length_m=length_m, conductors=r.Conductors(material="al"))
    found = Study(empty).run(RUN)
    assert found.size.how == "chosen"
    return found


def test_lengthening_it_enlarges_its_grounding_conductor():
    project = load(SAMPLE)
    short, long = needed(project, 30.0), needed(project, project.runs[RUN].length_m)
    longer = needed(project, 2 * project.runs[RUN].length_m)
    sizes = [area_cmil(found.grounding_needed) for found in (short, long, longer)]
    assert sizes == sorted(set(sizes))
    # 100 A asks for 1 AWG aluminum and a 6 AWG grounding conductor. 290 ft at 69.5 A: 40.3 A kft,
    # 7.2 V at most: 0.179 ohm per 1000 ft, 2/0 (0.16); 26,240 x 133,100 / 83,690 = 41,732: 4 AWG.
    assert short.size.value == "1"
    assert short.grounding_needed == "6"
    assert (long.size.value, long.grounding_needed) == ("2/0", "4")
    # 580 ft: 0.0893 ohm per 1000 ft, 250 kcmil (0.085): 26,240 x 250,000 / 83,690 = 78,384: 1 AWG.
    assert (longer.size.value, longer.grounding_needed) == ("250", "1")


def test_so_does_laying_larger_conductors():
    project = load(SAMPLE)
    as_it_is = Study(project).run(RUN)
    wires = msgspec.structs.replace(project.runs[RUN].conductors, size="4/0")
    larger = Study(with_run(project, conductors=wires)).run(RUN)
    assert area_cmil(larger.grounding_needed) > area_cmil(as_it_is.grounding_needed)
