"""The open findings by number: the list of findings counts them, other tables refer to them."""

from ampacre.rules.review import Review
from ampacre.rules.rule import Finding

__all__ = ["open_findings", "references"]


def open_findings(review: Review) -> tuple[Finding, ...]:
    """Give the findings that nobody accepted, in the order in which they are numbered."""
    return tuple(finding for finding in review.findings if review.accepted(finding) is None)


def references(review: Review) -> dict[str, str]:
    """Give the numbers of the findings at each piece and run: "2, 5"."""
    numbers: dict[str, list[str]] = {}
    for number, finding in enumerate(open_findings(review), 1):
        numbers.setdefault(finding.where, []).append(str(number))
    return {where: ", ".join(found) for where, found in numbers.items()}
