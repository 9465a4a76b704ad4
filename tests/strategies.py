"""Hypothesis strategies for records, edits, and projects that grew by edits."""

import msgspec
from hypothesis import strategies as st
from msgspec import inspect

from ampacre.model import edits
from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project, Refused
from ampacre.model.words import KINDS


def values(kind):
    """Values of a type as msgspec describes it, within its bounds."""
    match kind:
        case inspect.LiteralType():
            return st.sampled_from(kind.values)
        case inspect.BoolType():
            return st.booleans()
        case inspect.NoneType():
            return st.none()
        case inspect.IntType():
            return st.integers(kind.ge, kind.le)
        case inspect.FloatType():
            least = kind.ge if kind.ge is not None else kind.gt
            return st.floats(least, kind.le, exclude_min=kind.gt is not None)
        case inspect.StrType():
            if kind.pattern:
                return st.from_regex(r"[A-Za-z0-9_-]{1,40}", fullmatch=True)
            # whatever UTF-8 can hold, quotes and line ends included
            return st.text(st.characters(codec="utf-8"), max_size=min(12, kind.max_length or 12))
        case inspect.UnionType():
            return st.one_of([values(each) for each in kind.types])
        case inspect.VarTupleType():
            return st.lists(values(kind.item_type), max_size=3).map(tuple)
        case inspect.DictType():
            return st.dictionaries(values(kind.key_type), values(kind.value_type), max_size=3)
        case inspect.StructType():
            return records(kind.cls)
    raise TypeError(kind)


def records(cls, **given):
    """Records of a class with any values in their fields, but for the fields that are given."""
    required, optional = {}, {}
    for field in inspect.type_info(cls).fields:
        # what a record was is a record again, without end
        if field.name not in given and field.name != "was":
            (required if field.required else optional)[field.name] = values(field.type)
    return st.fixed_dictionaries(required, optional=optional).map(
        lambda found: cls(**(found | given))
    )


ALL_KINDS = tuple(KINDS.values())


def pieces(key, structure=None, kinds=ALL_KINDS):
    """Equipment of any kind under an id, referring to nothing else but a structure."""
    loose = {"structure": structure, "since": None, "until": None, "reuses": None}

    def of(kind):
        serves = {"serves": None} if issubclass(kind, r.Use) else {}
        return records(kind, id=key, **loose, **serves)

    return st.sampled_from(kinds).flatmap(of)


def _small_site():
    """A service with a panel, a sub-panel and leaves, as edits make it."""
    project = Project()
    wired = [
        (r.UtilitySource(id="grid", name="Line", system="120/240"), None),
        (r.Meter(id="meter", name="M-1"), "grid"),
        (r.Panel(id="main", name="P-1", spaces=20), "meter"),
        (r.Panel(id="barn", name="P-2", spaces=4, since=r.WORK), "main"),
        (r.Charger(id="ev", name="C-1", since=r.WORK), "barn"),
        (r.Motor(id="pump", name="Well"), "main"),
        (r.DwellingLoad(id="house", name="House"), "main"),
    ]
    for piece, source in wired:
        project = project.apply(edits.put("Put", "equipment", piece))
        if source:
            made = edits.connect(project, project.equipment[source], piece).changes[0].after
            run = msgspec.structs.replace(made, id=f"to-{piece.id}")
            project = project.apply(edits.put("Connect", "runs", run))
    return project


SMALL_SITE = _small_site()


def new_ids(project):
    """Ids that no table of a project has."""
    used = {key for _, table in project.tables() for key in table}
    return st.integers(0, 4095).map(lambda n: f"{n:03x}").filter(lambda key: key not in used)


@st.composite
def single_edits(draw, project):
    """An edit of a project such as a gesture makes; some are refused when they are applied."""
    ids = new_ids(project)
    equipment = [project.equipment[key] for key in sorted(project.equipment)]
    runs = [project.runs[key] for key in sorted(project.runs)]
    doable = ["put", "put", "structure", "settings", "stage", "raceway"]
    doable += (
        ["alter", "become", "remove", "place", "accept", "answer", "state", "ground"]
        if equipment
        else []
    )
    doable += ["connect", "connect", "group"] if len(equipment) > 1 else []
    doable += ["alter run", "alter run", "refeed", "insert", "remove run", "work"] if runs else []
    match draw(st.sampled_from(doable)):
        case "put":
            structures = sorted(project.structures)
            structure = draw(st.sampled_from([None, *structures]))
            return edits.put("Put", "equipment", draw(pieces(draw(ids), structure)))
        case "structure":
            return edits.put("Build", "structures", draw(records(r.Structure, id=draw(ids))))
        case "stage":
            return edits.put("Plan", "stages", draw(records(r.Stage, id=draw(ids))))
        case "raceway":
            return edits.put("Lay", "raceways", draw(records(r.Raceway, id=draw(ids))))
        case "ground":
            at = draw(st.sampled_from([*sorted(project.structures), *sorted(project.equipment)]))
            return edits.put("Ground", "grounding", draw(records(r.Grounding, id=draw(ids), at=at)))
        case "settings":
            after = draw(records(r.Settings, id="project"))
            return Edit("Settings", (Change("project", "project", project.settings, after),))
        case "alter":
            before = draw(st.sampled_from(equipment))
            after = draw(pieces(before.id, before.structure, (type(before),)))
            return Edit("Alter", (Change("equipment", before.id, before, after),))
        case "become":
            before = draw(st.sampled_from(equipment))
            after = draw(pieces(before.id, before.structure))
            return Edit("Become", (Change("equipment", before.id, before, after),))
        case "remove":
            return edits.remove(project, [draw(st.sampled_from(equipment)).id])
        case "place":
            moved = st.floats(-1e6, 1e6)
            key = draw(st.sampled_from(equipment)).id
            return edits.place(project, key, draw(moved), draw(moved))
        case "accept":
            where = draw(st.sampled_from(equipment)).id
            return edits.put(
                "Accept", "accepted", draw(records(r.Accepted, id=draw(ids), where=where))
            )
        case "answer":
            where = draw(st.sampled_from(["project", *(record.id for record in equipment + runs)]))
            answer = records(r.Answer, id=draw(ids), where=where)
            return edits.put("Answer", "answers", draw(answer))
        case "state":
            keys = st.sampled_from([record.id for record in equipment + runs])
            positions = draw(st.dictionaries(keys, st.sampled_from(["open", "standby"])))
            state = draw(records(r.State, id=draw(ids), positions=positions))
            return edits.put("Situation", "states", state)
        case "connect":
            source, target = draw(st.sampled_from(equipment)), draw(st.sampled_from(equipment))
            made = edits.connect(project, source, target).changes[0].after
            made = msgspec.structs.replace(made, id=draw(ids))
            return edits.put("Connect", "runs", made, gesture=draw(st.sampled_from(["", "drag"])))
        case "group":
            kind = draw(st.sampled_from([r.ManagedGroup, r.NoncoincidentGroup]))
            fits = r.Charger if kind is r.ManagedGroup else (r.Load, r.Motor)
            members = tuple(piece.id for piece in equipment if isinstance(piece, fits))
            said = {"id": draw(ids), "members": members}
            if kind is r.ManagedGroup:
                points = [piece.id for piece in equipment if isinstance(piece, r.Point)]
                said["measured_at"] = draw(st.sampled_from([None, *points]))
            return edits.put("Group", "groups", draw(records(kind, **said)))
        case "alter run":
            before = draw(st.sampled_from(runs))
            kept = ("id", "source", "target", "since", "until", "reuses", "spaces", "legs")
            same = {name: getattr(before, name) for name in kept}
            others = [run.id for run in runs if run.id != before.id]
            same["neutral_with"] = draw(st.sampled_from([None, *others]))
            raceways = sorted(project.raceways)
            shared = st.sampled_from(raceways).flatmap(lambda key: records(r.Segment, raceway=key))
            same["segments"] = draw(st.lists(shared, max_size=2).map(tuple)) if raceways else ()
            after = draw(records(r.Run, **same))
            return Edit("Alter run", (Change("runs", before.id, before, after),))
        case "refeed":
            run, source = draw(st.sampled_from(runs)), draw(st.sampled_from(equipment))
            return edits.refeed(project, run, source)
        case "insert":
            edit = edits.insert_on(project, draw(st.sampled_from(runs)), draw(pieces(draw(ids))))
            piece, run, carry = edit.changes
            # the builder's own id is random, which hypothesis could not repeat
            made = msgspec.structs.replace(carry.after, id=draw(ids))
            return Edit(edit.label, (piece, run, Change("runs", made.id, None, made)))
        case "remove run":
            return edits.remove(project, [draw(st.sampled_from(runs)).id])
        case "work":
            stage = draw(st.sampled_from([None, *sorted(project.stages)]))
            end = draw(st.sampled_from([None, *sorted(project.stages)]))
            return edits.alter(
                project, "runs", draw(st.sampled_from(runs)).id, since=stage, until=end
            )


@st.composite
def histories(draw, longest=12):
    """A sequence of projects, each made of the one before it by the edit that comes with it.

    Gives (first project, [(edit, project after it), ...]).
    """
    first = project = draw(st.sampled_from([Project(), SMALL_SITE]))
    steps = []
    for _ in range(draw(st.integers(0, longest))):
        edit = draw(single_edits(project))
        try:
            project = project.apply(edit)
        except Refused:
            continue
        steps.append((edit, project))
    return first, steps


def projects(longest=12):
    """Sound projects of any content."""
    return histories(longest).map(lambda found: found[1][-1][1] if found[1] else found[0])


@st.composite
def project_pairs(draw):
    """Two projects that have some records in common."""
    first, steps = draw(histories())
    states = [first, *(project for _, project in steps)]
    return draw(st.sampled_from(states)), draw(st.sampled_from(states))
