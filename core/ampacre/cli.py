"""The command line: check, numbers, permit, issue, rules, schema."""

import argparse
import difflib
import io
import json
import os
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ampacre.store.parse import Unreadable

if TYPE_CHECKING:
    from ampacre.model.project import Project
    from ampacre.rules.review import Review
    from ampacre.rules.rule import Rule
    from ampacre.sheets.paper import Paper

# Each command imports what it needs and no more, so that `check` and `schema` start at once.
# ruff: noqa: PLC0415

__all__ = ["COMMANDS", "main"]

COMMANDS = ("check", "numbers", "permit", "issue", "rules", "schema")

CLEAN, FOUND, FAILED = 0, 1, 2


class _Failed(Exception):
    """The command cannot do what was asked; the message says why."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; gives 1 for open warnings or violations, 2 for what cannot be done, else 0."""
    arguments = _parser().parse_args(argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        code: int = arguments.run(arguments)
        sys.stdout.flush()
    except (Unreadable, _Failed) as error:
        print(f"ampacre: {error}", file=sys.stderr)
        return FAILED
    except BrokenPipeError:
        # whoever read the output has seen enough; Python must not try to flush the rest
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="ampacre",
        description="One-line diagrams with electrical checks. With a file or nothing: open the editor.",
        epilog="Exit status: 1 where check finds an open warning or violation, 2 where something "
        "cannot be read or done, else 0.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, run: Any, words: str) -> argparse.ArgumentParser:
        added = commands.add_parser(name, help=words, description=words)
        added.set_defaults(run=run)
        return added

    for name, run, words in (
        ("check", _check, "say what is wrong, and how it could be put right"),
        ("numbers", _numbers, "show every computed number, with its working"),
    ):
        added = command(name, run, words)
        added.add_argument("file", type=Path, metavar="FILE", help="project file")
        added.add_argument("--json", action="store_true", help="as JSON")
    permit = command("permit", _permit, "write the drawing set, or its schedules")
    permit.add_argument("file", type=Path, metavar="FILE", help="project file")
    permit.add_argument(
        "-o", "--output", type=Path, metavar="OUT", required=True,
        help="file ending in .pdf, .dxf, .svg, .csv or .xlsx; without an ending, a folder for all",
    )  # fmt: skip
    permit.add_argument(
        "--paper", metavar="SIZE",
        help="ANSI B, ANSI D, Arch D, A3 or letter; else the project's own",
    )  # fmt: skip
    permit.add_argument(
        "--date", metavar="DAY", help="date on the sheets, such as 2026-03-01; else today"
    )
    issue = command(
        "issue", _issue, "record that a set is handed in, and keep its sheets and project"
    )
    issue.add_argument("file", type=Path, metavar="FILE", help="project file")
    issue.add_argument("--note", metavar="TEXT", default="", help="what the set is handed in for")
    issue.add_argument(
        "--date", metavar="DAY", help="date of the set, such as 2026-03-01; else today"
    )
    rules = command("rules", _rules, "list the rulebook, or explain one rule")
    rules.add_argument("key", nargs="?", metavar="KEY", help="key of a rule")
    rules.add_argument("--json", action="store_true", help="as JSON")
    command("schema", _schema, "print the JSON Schema of the project file")
    return parser


def _review(path: Path) -> "Review":
    from ampacre.rules.review import Review
    from ampacre.store.file import load
    from ampacre.study.study import Study

    return Review(Study(load(path)))


def _print_json(content: Any) -> None:
    print(json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False))


def _check(arguments: argparse.Namespace) -> int:
    from ampacre.report import report
    from ampacre.report_text import check_text

    review = _review(arguments.file)
    if arguments.json:
        _print_json(report(review))
    else:
        print(check_text(review))
    graver = any(finding.severity not in ("advice", "ask") for finding in review.standing)
    return FOUND if graver else CLEAN


def _numbers(arguments: argparse.Namespace) -> int:
    from ampacre.report import report
    from ampacre.report_text import numbers_text

    review = _review(arguments.file)
    if arguments.json:
        _print_json(report(review))
    else:
        print(numbers_text(review.study))
    return CLEAN


def _permit(arguments: argparse.Namespace) -> int:
    from ampacre.sheets.paper import PAPERS
    from ampacre.store.file import load
    from ampacre.store.issued import last_issued

    papers = {name.lower(): paper for name, paper in PAPERS.items()}
    paper = papers.get((arguments.paper or "").lower())
    if arguments.paper and paper is None:
        raise _Failed(f'there is no paper "{arguments.paper}"; there are {", ".join(PAPERS)}')
    project = load(arguments.file)
    issued = last_issued(arguments.file, project)
    _write(project, arguments.output, _date(arguments), paper, issued)
    return CLEAN


def _write(
    project: "Project",
    path: Path,
    date: str | None,
    paper: "Paper | None",
    issued: "Project | None",
) -> None:
    from ampacre.sheets.export import write_set
    from ampacre.store.file import NotSaved, why_not_written

    try:
        write_set(project, path, date, paper, issued)
    except (NotSaved, ValueError) as error:
        raise _Failed(str(error)) from None
    except OSError as error:
        reason = why_not_written(path, error)
        raise _Failed(f"{path} cannot be written: {reason}") from None


def _issue(arguments: argparse.Namespace) -> int:
    from ampacre.sheets.drawing_set import today
    from ampacre.store.file import NotSaved
    from ampacre.store.issued import issue_set, kept_path, kept_sheets, last_issued

    path, date = arguments.file, _date(arguments) or today()

    def draw(project: "Project", sheets: Path) -> None:
        _write(project, sheets, date, None, last_issued(path, project))

    try:
        issue = issue_set(path, date, arguments.note, draw)
    except NotSaved as error:
        raise _Failed(str(error)) from None
    names = kept_sheets(path, issue.number).name, kept_path(path, issue.number).name
    print(f"Set {issue.number}, {issue.date}; sheets kept as {names[0]}, project as {names[1]}")
    return CLEAN


def _date(arguments: argparse.Namespace) -> str | None:
    import datetime as dt

    try:
        return arguments.date and dt.date.fromisoformat(arguments.date).isoformat()
    except ValueError:
        raise _Failed(f'"{arguments.date}" is no date; write it as 2026-03-01') from None


def _rules(arguments: argparse.Namespace) -> int:
    import ampacre.rules  # noqa: F401 - files the rules
    from ampacre.rules.rule import RULES

    chosen = list(RULES.values())
    if arguments.key is not None:
        if arguments.key not in RULES:
            near = difflib.get_close_matches(arguments.key, RULES)
            hint = (
                f"did you mean {' or '.join(near)}?" if near else '"ampacre rules" lists them all'
            )
            raise _Failed(f'there is no rule "{arguments.key}"; {hint}')
        chosen = [RULES[arguments.key]]
    if arguments.json:
        _print_json([_rule(rule) for rule in chosen])
    elif arguments.key is not None:
        _print_rule(chosen[0])
    else:
        for rule in chosen:
            print(f"{rule.key:<34} {rule.severity:<10} {rule.title}")
    return CLEAN


def _rule(rule: "Rule") -> dict[str, Any]:
    from ampacre.codebook.articles import EDITIONS, cite
    from ampacre.model.words import kind_word

    return {
        "key": rule.key,
        "topic": rule.topic,
        "severity": rule.severity,
        "scope": rule.scope,
        "kinds": [kind_word(kind) for kind in rule.kinds],
        "title": rule.title,
        "explanation": rule.explanation,
        "cite": {edition: cite(rule.cite, edition) for edition in EDITIONS},
        "has_remedies": rule.remedies is not None,
        "question": rule.question,
    }


def _print_rule(rule: "Rule") -> None:
    told = _rule(rule)
    about = ", ".join(told["kinds"]) or f"every {rule.scope}"
    if rule.question:
        about = "asked on site"
    print(f"{rule.key}: {rule.severity} ({rule.topic}; {about})")
    print(f"{rule.title}.")
    if rule.question:
        print(f'Asked: "{rule.question}"')
    if rule.explanation:
        print(textwrap.fill(rule.explanation, 96))
    for citation in dict.fromkeys(told["cite"].values()):
        print(f"  {citation}")


def _schema(_arguments: argparse.Namespace) -> int:
    from ampacre.store.file import schema

    _print_json(schema())
    return CLEAN
