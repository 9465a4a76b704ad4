"""The open findings by number: the list of findings counts them, other tables refer to them."""

from ampacre.rules.review import Review

__all__ = ["references"]


def references(review: Review) -> dict[str, str]:
    """Give the numbers of the findings at each piece and run: "2, 5"."""
    numbers: dict[str, list[str]] = {}
    for number, finding in enumerate(review.standing, 1):
        numbers.setdefault(finding.where, []).append(str(number))
    return {where: ", ".join(found) for where, found in numbers.items()}
