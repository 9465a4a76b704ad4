"""Findings in the words of the panel; one that is told as before stays the same line."""

from ampacre.model.project import Project
from ampacre.rules.review import Missing, Review
from ampacre.rules.rule import Finding
from ampacre_gui.differing import differing
from ampacre_gui.names import element_name, whole_name
from ampacre_gui.panels.fields import capital
from ampacre_gui.panels.findings_model import Told
from ampacre_gui.panels.findings_text import accepted_words

__all__ = ["Teller"]


class Teller:
    """Keeps a line as long as what it is made of is the same.

    That is the finding, the names of its place, the settings with their units, and what was
    accepted.
    """

    def __init__(self) -> None:
        self._project = Project()
        self._kept: dict[int, Told] = {}

    def tell(self, review: Review) -> list[Told]:
        """Give all findings in the order of the review, then what is missing."""
        project = review.study.project
        kept = self._kept if _says_alike(self._project, project) else {}
        renamed = _renamed(self._project, project)
        found: list[Finding | Missing] = [*review.findings, *review.missing]
        told = []
        for one in found:
            # a line that is kept holds its finding, so that no other one can have its number
            line = kept.get(id(one))
            if line is None or one.where in renamed:
                line = _told(review, one)
            told.append(line)
        self._project, self._kept = project, {id(line.one): line for line in told}
        return told


def _says_alike(old: Project, new: Project) -> bool:
    return old.settings is new.settings and old.accepted is new.accepted


def _renamed(old: Project, new: Project) -> set[str]:
    """Give the pieces and runs that may have another name; a run may be named by its end."""
    pieces, runs = differing(old.equipment, new.equipment), differing(old.runs, new.runs)
    return (
        pieces | runs | {run.id for run in new.runs.values() if {run.source, run.target} & pieces}
    )


def _told(review: Review, one: Finding | Missing) -> Told:
    project = review.study.project
    name, place = capital(element_name(project, one.where)), capital(whole_name(project, one.where))
    if isinstance(one, Missing):
        return Told(one, one, "missing", name, place, one.text)
    mark = "accepted" if review.accepted(one) else one.severity
    words = "\n".join(filter(None, (review.message(one), accepted_words(review, one))))
    return Told(one, one.key, mark, name, place, words)
