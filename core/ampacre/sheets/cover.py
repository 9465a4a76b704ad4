"""The cover: whose job it is, what is done, by which code, which sheets there are, general notes."""

from collections.abc import Iterable, Iterator

from ampacre.model import records as r
from ampacre.model.amendments import amended
from ampacre.model.naming import listed
from ampacre.model.words import field_word, unit_of, value_word
from ampacre.picture.lettering import shorten
from ampacre.picture.primitives import Element
from ampacre.quantity import show
from ampacre.sheets.pen import CAPITALS_MM, Pen
from ampacre.sheets.revisions import set_number
from ampacre.sheets.scope import scope_of_work
from ampacre.sheets.sheet_index import IndexLine, sheet_index
from ampacre.sheets.table import Column, Figure, Notes, Part, Table
from ampacre.sheets.wording import amperes
from ampacre.store.issued import handed_in
from ampacre.study.study import Study

__all__ = ["cover", "seal_room"]

_SEAL_MM = 64.0


def cover(
    study: Study,
    date: str,
    index: Iterable[IndexLine],
    changes: tuple[tuple[str, str], ...],
    width: float,
    violations: str = "",
) -> list[Part]:
    """Make the parts of the cover for columns of this width [mm].

    `violations` says how many stand open, and where they are listed.
    `changes` since the last set come each with the number of its mark on the drawing.
    """
    settings = study.settings
    narrow = min(46.0, width / 3)
    pair = (Column("", narrow), Column("", width - narrow))
    parts: list[Part] = [
        Table("Job", pair, tuple(_job(study, date))),
        Notes("Scope of work", tuple(scope_of_work(study))),
        Notes("Open", (f"{violations}. What is open is not met.",) if violations else ()),
        Table("Code and amendments", pair, tuple(_code(settings))),
        sheet_index(study, index, width),
        Table(
            "Revisions",
            (Column("No.", 14.0), Column("Date", 30.0), Column("What", width - 44.0)),
            tuple(_revisions(study)),
        ),
    ]
    if changes:
        numbered = (Column("No.", 14.0), Column("What", width - 14.0))
        parts.append(Table("Changed since the last set", numbered, changes))
    parts.append(Notes("Statements", tuple(_statements(study))))
    parts.append(Notes("General notes", tuple(_general_notes(study))))
    return parts


def seal_room(settings: r.Settings, width: float) -> Figure:
    """Draw empty room for seal and stamp, for sheets whose title block has none."""
    out: list[Element] = []
    pen = Pen(out, 0, 0, "frame", 0.35)
    half = width / 2
    pen.box(0, 0, half - 2.0, _SEAL_MM)
    pen.box(half + 2.0, 0, width, _SEAL_MM)
    pen.text(2.0, 5.5, "Seal, signature, date")
    pen.text(half + 4.0, 5.5, "Approval stamp")
    signs = settings.engineer or settings.prepared_by
    pen.text(2.0, _SEAL_MM - 2.5, shorten(signs, half - 6.0, CAPITALS_MM))
    return Figure("Seal and approval", tuple(out), width, _SEAL_MM)


def _job(study: Study, date: str) -> Iterator[tuple[str, str]]:
    settings = study.settings
    yield "Project", settings.name
    for label, value in (
        ("Address", settings.address),
        ("Parcel", settings.parcel),
        ("Use", _use(study)),
        ("Owner", _joined(settings.owner, settings.owner_contact)),
        ("Prepared by", _joined(settings.prepared_by, settings.preparer_contact)),
        ("Contractor", settings.contractor or _builder(settings)),
        ("License", settings.licence),
        ("Authority", settings.jurisdiction),
        (
            "Utility",
            _joined(settings.utility, settings.utility_job and f"job {settings.utility_job}"),
        ),
        ("Permit", settings.permit_number),
    ):
        yield label, value or "to be entered"
    yield "Date", date
    if settings.copies:
        yield "Copies", f"{settings.copies} sets handed in"


def _joined(*parts: str) -> str:
    return ", ".join(filter(None, parts))


def _builder(settings: r.Settings) -> str:
    return "none; the owner does the work" if settings.owner_builder else ""


def _use(study: Study) -> str:
    uses = sorted(
        {f"{s.name}: {s.use}" for s in study.project.structures.values() if s.use is not None}
    )
    return _joined(study.settings.occupancy, *uses)


def _code(settings: r.Settings) -> Iterator[tuple[str, str]]:
    yield "Code", f"NEC {settings.edition} (NFPA 70)"
    if settings.local_code:
        yield "State or local code", settings.local_code
    names = amended(settings)
    for name in names:
        value, unit = getattr(settings, name), unit_of(name)
        shown = (
            show(value, unit, settings.units) if unit and value is not None else value_word(value)
        )
        yield "Amendment", f"{field_word(name)}: {shown}"
    if not names and not settings.local_code:
        yield "Amendments", "none entered; to be asked of the authority"


def _revisions(study: Study) -> Iterator[tuple[str, str, str]]:
    issues = sorted(study.project.issues.values(), key=lambda issue: issue.number)
    for issue in issues:
        yield str(issue.number), issue.date, issue.note
    if handed_in(study.project) is None:
        words = "not yet issued" if issues else "first set, not yet issued"
        yield str(set_number(study.project)), "", words


def _statements(study: Study) -> Iterator[str]:
    settings = study.settings
    who = settings.owner or "The owner"
    if settings.owner_builder:
        yield (
            f"Owner-builder: {who} owns the property, does the work described here, and signs the "
            "owner's declaration that the office asks for. Signature and date: ________________"
        )
    else:
        contractor = settings.contractor or "a contractor to be named"
        yield f"The work is done by {contractor}{f', license {settings.licence}' if settings.licence else ''}."
    preparer = settings.prepared_by or "a person to be named"
    yield f"Prepared by {preparer}. Signature and date: ________________"
    if settings.engineer:
        yield f"To be sealed and signed by {settings.engineer}."
    services = [f for f in study.all_equipment() if f.at_service and f.device_ahead_a]
    for facts in services:
        size = amperes(facts.device_ahead_a)
        if settings.review_above_a is None:
            yield f"{facts.piece.name}, {size}: ask the office above which size it wants a seal."
        else:
            above = (facts.device_ahead_a or 0) > settings.review_above_a
            limit = show(settings.review_above_a, "a")
            verdict = "above" if above else "not above"
            then = (
                "a seal or a formal review is called for"
                if above
                else "no seal on account of its size"
            )
            yield f"{facts.piece.name}, {size}: {verdict} the office's limit of {limit}; {then}."


def _general_notes(study: Study) -> Iterator[str]:
    settings = study.settings
    office = settings.jurisdiction or "the authority"
    yield f"All work by NEC {settings.edition} and the amendments of {office}."
    yield (
        f"Approval of these drawings by {office} is not leave to energize; "
        f"{settings.utility or 'the utility'} energizes after the inspection's release."
    )
    yield "Equipment is listed and labeled, and used by its listing; see the equipment list."
    yield from _ways(study)
    wet = [
        facts.piece.name
        for facts in study.all_equipment()
        if facts.piece.location == "outdoors" and facts.piece.owner == "customer"
    ]
    if wet:
        yield f"Wet places: {listed(wet)}; enclosures and fittings for wet places there."
    yield "(E) existing, (N) new; * assumed, to be verified in the field before work begins."
    if settings.notes:
        yield settings.notes


def _ways(study: Study) -> Iterator[str]:
    """Say the wiring methods of what is new, with the cover of what lies in the ground."""
    ways: dict[str, list[str]] = {}
    for facts in study.all_runs():
        run = facts.run
        if facts.work not in ("new", "reused") or run.length_m == 0 or not facts.raceway.value:
            continue
        kind = facts.raceway.value
        words = "PVC" if kind == "pvc" else value_word(kind)
        if facts.cover_needed_m:
            words += f" with at least {show(facts.cover_needed_m * 1000, 'mm', study.settings.units)} of cover"
        ways.setdefault(words, []).append(run.name or study.project.equipment[run.target].name)
    for words, names in ways.items():
        yield f"Wiring method {words}: {listed(list(dict.fromkeys(names)))}."
