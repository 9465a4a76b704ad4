"""Has sheets made by a process of its own, so that the window stays free and can call it off."""

import logging
import sys

from PySide6.QtCore import QObject, QProcess, Signal

from ampacre.sheets.making import Failed, Files, Job, News, framed, unframed

__all__ = ["Maker"]

_log = logging.getLogger(__name__)

# the folder that the program was started from has no say in what is imported
_WORKER = ["-P", "-m", "ampacre.sheets.making"]


class Maker(QObject):
    """Does one job at a time; another one calls off the one before."""

    told = Signal(object)
    """Chapters, Made or Drawn: how far it is, and what has come of it."""
    done = Signal(object)
    """The Files that were written; the job is complete."""
    failed = Signal(str)
    """Why the job could not be done, in words."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._process: QProcess | None = None
        self._received = bytearray()
        self._last: Files | Failed | None = None

    @property
    def busy(self) -> bool:
        """Whether a job is being done."""
        return self._process is not None

    def start(self, job: Job) -> None:
        self.stop()
        self._received.clear()
        self._last = None
        self._process = process = QProcess(self)
        process.setProgram(sys.executable)
        process.setArguments(_WORKER)
        process.readyReadStandardOutput.connect(self._read)
        process.finished.connect(self._end)
        process.errorOccurred.connect(self._could_not_start)
        process.start()
        process.write(framed(job))
        process.closeWriteChannel()

    def stop(self) -> None:
        """Call off the job, if there is one; nothing more is told of it."""
        process, self._process = self._process, None
        if process is not None:
            process.blockSignals(True)
            process.kill()
            process.waitForFinished()
            process.deleteLater()

    def _read(self) -> None:
        process = self._process
        if process is None:
            return
        self._received += bytes(process.readAllStandardOutput().data())
        for news in unframed(self._received):
            self._take(news)
            if self._process is not process:
                # whoever heard it called the job off
                return

    def _take(self, news: News) -> None:
        if isinstance(news, Files | Failed):
            self._last = news
        else:
            self.told.emit(news)

    def _end(self) -> None:
        self._read()
        process, self._process = self._process, None
        if process is None:
            return
        process.deleteLater()
        if isinstance(self._last, Files):
            self.done.emit(self._last)
        elif isinstance(self._last, Failed):
            self.failed.emit(self._last.why)
        else:
            details = bytes(process.readAllStandardError().data())
            _log.error("%s", details.decode(errors="replace"))
            self.failed.emit(self.tr("a fault of the program; the project is safe"))

    def _could_not_start(self, error: QProcess.ProcessError) -> None:
        process = self._process
        if process is None or error != QProcess.ProcessError.FailedToStart:
            return
        why = process.errorString()
        self.stop()
        self.failed.emit(why)
