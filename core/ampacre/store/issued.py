"""Sets that were handed in: numbered in the project, each project kept beside the file."""

from collections.abc import Callable
from pathlib import Path

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project
from ampacre.store.file import Unreadable, digest, encode, load, save, write

__all__ = [
    "earlier_set",
    "handed_in",
    "issue_edit",
    "issue_set",
    "kept_path",
    "kept_sheets",
    "last_issued",
    "next_number",
]


def kept_path(path: Path, number: int) -> Path:
    """Where the project of a set is kept: "orchard issue 2.ampacre" beside "orchard.ampacre"."""
    return path.with_name(f"{path.stem} issue {number}{path.suffix}")


def kept_sheets(path: Path, number: int) -> Path:
    """Where the sheets of a set are kept: "orchard issue 2.pdf" beside "orchard.ampacre"."""
    return path.with_name(f"{path.stem} issue {number}.pdf")


def next_number(path: Path, project: Project) -> int:
    """Give the number of the next set. One whose files are kept already is not given again."""
    number = max((issue.number for issue in project.issues.values()), default=0) + 1
    while kept_path(path, number).exists() or kept_sheets(path, number).exists():
        number += 1
    return number


def issue_edit(project: Project, number: int, date: str, note: str) -> Edit:
    """Give the edit that records one more set, with the digest of the project it is made from."""
    made_from = digest(encode(project))
    issue = r.Issue(id=f"issue-{number}", number=number, date=date, note=note, digest=made_from)
    return Edit(f"Hand in set {number}", (Change("issues", issue.id, None, issue),))


def issue_set(path: Path, date: str, note: str, draw: Callable[[Project, Path], object]) -> r.Issue:
    """Record a set in a project file; keep its sheets, and the project as it was handed in.

    `draw` writes the sheets of a project, its set recorded, to a path. Raises Unreadable, what
    `draw` raises, or NotSaved if a file can't be written; then nothing is kept or recorded.
    """
    project = load(path)
    edit = issue_edit(project, next_number(path, project), date, note)
    issue = edit.changes[0].after
    assert isinstance(issue, r.Issue)
    after = project.apply(edit)
    sheets, kept = kept_sheets(path, issue.number), kept_path(path, issue.number)
    try:
        draw(after, sheets)
        write(encode(after), kept)
        save(after, path)
    except BaseException:
        sheets.unlink(missing_ok=True)
        kept.unlink(missing_ok=True)
        raise
    return issue


def handed_in(project: Project) -> r.Issue | None:
    """Give the set that a project is, unchanged since it was recorded; None for any other."""
    last = _last(project)
    if last is None:
        return None
    unrecorded = project.apply(Edit("", (Change("issues", last.id, last, None),)))
    return last if digest(encode(unrecorded)) == last.digest else None


def earlier_set(project: Project) -> r.Issue | None:
    """Give the last set handed in before what the project is now, None where there was none."""
    this = handed_in(project)
    if this is None:
        return _last(project)
    return _last(project.apply(Edit("", (Change("issues", this.id, this, None),))))


def last_issued(path: Path, project: Project) -> Project | None:
    """Give the project of the set before this one, None where none was or it can't be read."""
    earlier = earlier_set(project)
    if earlier is None:
        return None
    try:
        return load(kept_path(path, earlier.number))
    except (Unreadable, msgspec.ValidationError):
        return None


def _last(project: Project) -> r.Issue | None:
    return max(project.issues.values(), key=lambda issue: issue.number, default=None)
