"""The words of a set, for tests that ask what a sheet says."""

from collections import defaultdict

from sheets.geometry import chapters_of, texts

from ampacre.rules.review import Review
from ampacre.sheets.drawing_set import drawing_set
from ampacre.sheets.table import Notes, Table


def words(parts):
    """Give tables row by row and notes as they are, each line of cells as one line of words."""
    said = []
    for part in parts:
        said.append(part.title)
        if isinstance(part, Table):
            said += [" ".join(" ".join(row).split()) for row in part.rows]
        elif isinstance(part, Notes):
            said += part.paragraphs
    return "\n".join(said)


def printed(study):
    """Give all words of the drawn set by chapter, sheets that chapters share under each."""
    found = defaultdict(str)
    for sheet in drawing_set(study, Review(study), "2026-03-01"):
        for chapter in chapters_of(sheet):
            found[chapter] += " ".join(text.text for text in texts(sheet.picture)) + " "
    return found
