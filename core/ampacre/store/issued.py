"""Sets that were handed in: numbered in the project, each project kept beside the file."""

from pathlib import Path

import msgspec

from ampacre.model import records as r
from ampacre.model.project import Change, Edit, Project
from ampacre.store.file import NotSaved, Unreadable, digest, encode, load, save, write

__all__ = ["issue_edit", "issue_set", "kept_path", "kept_sheets", "last_issued", "next_number"]


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


def issue_set(path: Path, date: str, note: str) -> tuple[r.Issue, Path]:
    """Record a set in a project file and keep a copy of the project as it was handed in.

    Raises Unreadable, or NotSaved if a file can't be written, and then none has changed.
    """
    project = load(path)
    edit = issue_edit(project, next_number(path, project), date, note)
    issue = edit.changes[0].after
    assert isinstance(issue, r.Issue)
    kept = kept_path(path, issue.number)
    after = project.apply(edit)
    write(encode(after), kept)
    try:
        save(after, path)
    except NotSaved:
        kept.unlink()
        raise
    return issue, kept


def last_issued(path: Path, project: Project) -> Project | None:
    """Give the project of the last set handed in, None where none was or it can't be read."""
    numbers = [issue.number for issue in project.issues.values()]
    if not numbers:
        return None
    try:
        return load(kept_path(path, max(numbers)))
    except (Unreadable, msgspec.ValidationError):
        return None
