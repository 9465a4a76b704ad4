"""Answers to the questions that the program asks, where a test can't click while it waits."""

from PySide6.QtWidgets import QMessageBox


def answer(monkeypatch, words):
    """Have the next question answered by the button with these words."""
    asked = []

    def execute(box):
        asked.append(box.text())
        button = next(b for b in box.buttons() if b.text().replace("&", "") == words)
        button.click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", execute)
    return asked
