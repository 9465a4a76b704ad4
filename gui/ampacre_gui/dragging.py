"""What is carried in a drag: a kind of equipment from the drawer, or a piece from the outline."""

from PySide6.QtCore import QMimeData

from ampacre.model.words import KINDS

__all__ = ["KIND", "PIECE", "data_of_kind", "data_of_piece", "kind_in", "piece_in"]

KIND = "application/x-ampacre-kind"
PIECE = "application/x-ampacre-piece"


def data_of_kind(kind: str, *, existing: bool) -> QMimeData:
    """Carry a kind, and whether what is drawn of it stands already."""
    data = QMimeData()
    data.setData(KIND, f"{kind}|{'existing' if existing else 'new'}".encode())
    return data


def kind_in(data: QMimeData) -> tuple[str, bool] | None:
    """Give the kind that is carried and whether it stands already; None for other things."""
    if not data.hasFormat(KIND):
        return None
    kind, _, standing = bytes(data.data(KIND).data()).decode().partition("|")
    return (kind, standing == "existing") if kind in KINDS else None


def data_of_piece(key: str) -> QMimeData:
    """Carry a piece of the project."""
    data = QMimeData()
    data.setData(PIECE, key.encode())
    return data


def piece_in(data: QMimeData) -> str:
    """Give the id of the piece that is carried, "" for other things."""
    return bytes(data.data(PIECE).data()).decode()
