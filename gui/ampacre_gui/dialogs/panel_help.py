"""What the panel in use does: a few lines for each, shown with F1."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QVBoxLayout, QWidget

from ampacre_gui.phrases import filled, said

__all__ = ["DRAWING", "PAGES", "PanelHelpDialog"]

DRAWING = "drawing"

PAGES: dict[str, tuple[str, ...]] = {
    DRAWING: (
        "The drawing shows the supply from the utility down. Drop equipment from the drawer onto the piece that feeds it, or drag from the grip below a piece to another one.",
        "A flag marks what a rule has to say: a triangle for a violation, a diamond for a warning, a square for a question, a circle for advice. Select the piece and read the Findings panel.",
        "Click a number to see how it is worked out. Arrow keys go to what feeds a piece, what it feeds and its neighbors, with Alt they move it by a step; Enter shows its details.",
    ),
    "drawer": (
        "The drawer holds every kind of equipment. Drag one onto the drawing or the outline, or type a part of its name and press Enter to add it below what is selected.",
        "The drawing has the keyboard then, with the new piece selected: F2 names it, Insert looks for the next.",
        "Draw as says whether what you add is new work, whose empty fields are chosen for you, or existing, whose empty fields are not known and have to be read off.",
    ),
    "outline": (
        "The outline is the whole network as a list, each piece below what feeds it. All that the drawing can do can be done here with the keyboard.",
        "F2 renames a piece. Drag a line onto another to feed it from there.",
    ),
    "history": (
        "The history lists every change since the project was opened. Click a line, or press Enter on it, to take the project to how it was then. Lines in italics are undone; the next change you make replaces them.",
    ),
    "details": (
        "Details shows what is worked out for the selected piece or run, and the fields that describe it. A change counts when you leave the field or press Enter.",
        "Type units as you say them: 310 ft, 85 m, 75 kVA. An empty field says in italics what was chosen or assumed in its place.",
    ),
    "findings": (
        "Findings lists all that the rules have to say, the gravest first, each with its numbers and its code section. Enter goes to the piece or run.",
        "A remedy is a change that clears the finding; it can be undone. Accept records that somebody answers for leaving it as it is.",
        "No finding does not mean that all is well: local amendments and the authority having jurisdiction decide.",
    ),
    "checklist": (
        "This list asks what only somebody on site can see: labels, working space, what is in sight of what. Go through it with the arrow keys and answer with Y, N or U for unknown; Delete takes an answer back.",
        "A no becomes a finding; an unknown is listed with what is missing.",
    ),
    "runs": (
        "Every run is a row: what feeds what, its device, conductors, raceway and length. Type over a cell; Enter goes down, Tab goes on. Blocks of cells can be copied to a spreadsheet and pasted from one.",
        "A cell in which nothing is entered shows what was chosen or assumed in its place.",
    ),
    "circuits": (
        "The circuits of one panel by their spaces, as on the directory in its door. Type over a cell; a name or a kind in a spare row makes a new circuit.",
    ),
    "worksheet": (
        "The worksheet shows line by line how the numbers of the selected piece or run are worked out: quantity, factor, result and the source of each line.",
    ),
}  # fmt: skip
"""Paragraphs by the name of a panel's dock."""


class PanelHelpDialog(QDialog):
    """Tells what one panel does."""

    def __init__(self, panel: str, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(filled(self.tr("What This Panel Does: %1"), title))
        box = QVBoxLayout(self)
        box.setContentsMargins(20, 18, 20, 14)
        box.setSpacing(10)
        for paragraph in PAGES.get(panel, PAGES[DRAWING]):
            label = QLabel(said(paragraph))
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setMinimumWidth(420)
            box.addWidget(label)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        box.addSpacing(4)
        box.addWidget(buttons)
