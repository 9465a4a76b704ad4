"""Rules that look at one service at a time, so that an edit near one leaves the others alone."""

from collections.abc import Callable, Iterator
from functools import wraps

from ampacre.rules.recall import recalled
from ampacre.rules.rule import Finding, Remedies, Severity, on_project
from ampacre.rules.supplies import Service, ServiceIds, service_ids, structures_served
from ampacre.study.study import Study

__all__ = ["on_service", "services_of"]

ServiceCheck = Callable[[Study, Service], Iterator[Finding]]


def on_service(
    key: str, *, topic: str, severity: Severity, cite: str, remedies: Remedies | None = None
) -> Callable[[ServiceCheck], ServiceCheck]:
    """File a rule that looks at each service of the project."""

    def file(check: ServiceCheck) -> ServiceCheck:
        @wraps(check)
        def found_at(study: Study, entry: str, disconnects: tuple[str, ...]) -> Iterator[Finding]:
            return check(study, Service.of(study, entry, disconnects))

        on_project(
            key, topic=topic, severity=severity, cite=cite, remedies=remedies, parts=service_ids
        )(found_at)
        return check

    return file


@recalled
def services_of(study: Study) -> dict[str, tuple[ServiceIds, ...]]:
    """Give the services of each structure that has any, by their ids."""
    found: dict[str, tuple[ServiceIds, ...]] = {}
    for ids in service_ids(study):
        for structure in structures_served(study, ids):
            found[structure] = (*found.get(structure, ()), ids)
    return found
