"""Findings as plain text, to be sent on or pasted into a letter."""

from collections.abc import Iterable

from ampacre.model.project import Project
from ampacre.model.words import signed
from ampacre.rules.review import Missing, Review
from ampacre.rules.rule import Finding
from ampacre_gui.names import element_name
from ampacre_gui.panels.fields import capital

__all__ = ["accepted_words", "as_text", "counted"]

_PLURALS = {
    "violation": ("violation", "violations"),
    "warning": ("warning", "warnings"),
    "ask": ("question to the authority", "questions to the authority"),
    "advice": ("piece of advice", "pieces of advice"),
    "accepted": ("accepted", "accepted"),
    "missing": ("not checked: something is missing", "not checked: something is missing"),
}


def counted(mark: str, count: int) -> str:
    """Give a number with the word for a severity: "2 warnings"."""
    one, many = _PLURALS[mark]
    return f"{count} {one if count == 1 else many}"


def accepted_words(review: Review, finding: Finding) -> str:
    """Say why a finding was accepted, by whom and when; "" where it was not."""
    record = review.accepted(finding)
    if record is None:
        return ""
    by = signed(record)
    return f"Accepted: {record.reason}" + (f" ({by})" if by else "")


def as_text(
    project: Project, review: Review, groups: Iterable[tuple[str, list[Finding | Missing]]]
) -> str:
    """Write findings and what is missing, under a heading for each mark."""
    blocks = []
    for mark, members in groups:
        lines = [capital(counted(mark, len(members)))]
        for one in members:
            place = capital(element_name(project, one.where))
            if isinstance(one, Missing):
                lines.append(f"- {place}: {one.text}")
                continue
            lines.append(f"- {place}: {review.message(one)} [{review.cite(one)}]")
            if accepted := accepted_words(review, one):
                lines.append(f"  {accepted}")
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + "\n" if blocks else ""
