"""Makes a set in a process of its own: a job comes in, and sheets, files and progress go out.

`python -m ampacre.sheets.making` reads one job from its standard input and writes news to its
standard output until it ends. Each of them is msgpack, four bytes of its length ahead. Ending the
process at any moment leaves nothing half written except in the folder that the job names.
"""

import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import msgspec

from ampacre.model.records import Date
from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import Progress, drawing_set
from ampacre.sheets.export import write_set
from ampacre.store.file import NotSaved, decode, why_not_written
from ampacre.study.study import Study

__all__ = ["Chapters", "Drawn", "Failed", "Files", "Job", "Made", "News", "framed", "unframed"]

_LENGTH = 4
_EVERY_S = 0.05


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be made. Projects are the bytes of their files.

    With a `target` the set is written to that path, else its sheets are sent.
    """

    project: bytes
    date: Date
    issued: bytes | None = None
    target: str | None = None
    only: tuple[str, ...] | None = None


class Chapters(msgspec.Struct, frozen=True, tag=True):
    """How many chapters are drawn, and of how many."""

    done: int
    of: int


class Made(msgspec.Struct, frozen=True, tag=True):
    """How many sheets are in the file, and of how many."""

    done: int
    of: int


class Drawn(msgspec.Struct, frozen=True, tag=True):
    """One sheet, the next of `of`; `picture` is a Picture still in msgpack."""

    number: str
    title: str
    of: int
    picture: msgspec.Raw


class Files(msgspec.Struct, frozen=True, tag=True):
    """The files written: the set is complete."""

    paths: tuple[str, ...]


class Failed(msgspec.Struct, frozen=True, tag=True):
    """Why the set could not be written, in words."""

    why: str


News = Chapters | Made | Drawn | Files | Failed


def framed(message: Job | News) -> bytes:
    """Give a message as it is sent."""
    content = msgspec.msgpack.encode(message)
    return len(content).to_bytes(_LENGTH) + content


def unframed(received: bytearray) -> Iterator[News]:
    """Take the news that has come in whole off the front of what was received."""
    at = 0
    while len(received) >= (start := at + _LENGTH):
        end = start + int.from_bytes(received[at:start])
        if len(received) < end:
            break
        yield msgspec.msgpack.decode(bytes(received[start:end]), type=News)
        at = end
    del received[:at]


def _main() -> int:
    # what a library prints must not come between the news
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    length = int.from_bytes(sys.stdin.buffer.read(_LENGTH))
    job = msgspec.msgpack.decode(sys.stdin.buffer.read(length), type=Job)
    try:
        for news in _made(job, out):
            out.write(framed(news))
        out.flush()
    except BrokenPipeError:
        # whoever asked has gone
        os._exit(1)
    return 0


def _made(job: Job, out: BinaryIO) -> Iterator[News]:
    """Do a job. Progress goes straight to `out`, as much of it as an eye can follow."""

    def teller(kind: type[Chapters] | type[Made]) -> Progress:
        told = 0.0

        def tell(done: int, of: int) -> None:
            nonlocal told
            if done == of or time.monotonic() - told > _EVERY_S:
                told = time.monotonic()
                out.write(framed(kind(done, of)))
                out.flush()

        return tell

    project = decode(job.project, "project")
    issued = decode(job.issued, "last set") if job.issued else None
    if job.target is None:
        study = Study(project)
        sheets = drawing_set(
            study, Review(study), job.date, issued=issued, progress=teller(Chapters)
        )
        for sheet in sheets:
            picture = msgspec.Raw(msgspec.msgpack.encode(sheet.picture))
            yield Drawn(sheet.number, sheet.title, len(sheets), picture)
        yield Files(())
        return
    try:
        written = write_set(
            project, Path(job.target), job.date, issued=issued, progress=teller(Chapters),
            only=job.only, wrote=teller(Made),
        )  # fmt: skip
    except NotSaved as error:
        yield Failed(str(error))
    except OSError as error:
        target = Path(job.target)
        yield Failed(f"{target.name} cannot be written: {why_not_written(target, error)}")
    else:
        yield Files(tuple(map(str, written)))


if __name__ == "__main__":
    sys.exit(_main())
