"""Editor of a dwelling's appliances: a row each, with kind, name, nameplate load and a way out."""

import typing

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ampacre.model.records import Appliance
from ampacre.quantity import UnitSystem
from ampacre_gui.panels.editors import ChoiceEditor, LineEditor
from ampacre_gui.panels.form import FieldSpec

__all__ = ["AppliancesEditor"]

_KINDS = typing.get_args(typing.get_type_hints(Appliance)["kind"])
_NAME = FieldSpec(("name",), "name", "text", longest=120)
_VA = FieldSpec(("va",), "nameplate load", "number", "va", optional=True, low=0, high=1e8)
_AMPS = FieldSpec(
    ("full_load_a",), "current", "number", "a", optional=True, low=0, high=10_000, open_low=True
)


class _Row(QFrame):
    """One appliance."""

    changed = Signal(object)
    removed = Signal()
    refused = Signal(str)

    def __init__(self, appliance: Appliance, units: UnitSystem) -> None:
        super().__init__()
        self._appliance = appliance
        self._kind = ChoiceEditor([(kind, kind) for kind in _KINDS], optional=False)
        self._name, self._va, self._amps = LineEditor(_NAME), LineEditor(_VA), LineEditor(_AMPS)
        self._shed = QCheckBox(self.tr("Kept off on standby"))
        remove = QToolButton()
        remove.setText("\u2715")
        remove.setAutoRaise(True)
        remove.setToolTip(self.tr("Remove this appliance"))
        remove.setAccessibleName(remove.toolTip())
        remove.clicked.connect(self.removed)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 6)
        grid.setSpacing(4)
        top = QHBoxLayout()
        top.addWidget(self._kind, 1)
        top.addWidget(self._name, 1)
        top.addWidget(remove)
        grid.addLayout(top, 0, 0, 1, 2)
        grid.addWidget(self._va, 1, 0)
        grid.addWidget(self._amps, 1, 1)
        grid.addWidget(self._shed, 2, 0, 1, 2)
        for editor, name, hint in (
            (self._name, "name", self.tr("name")),
            (self._va, "va", self.tr("load, VA or kW")),
            (self._amps, "full_load_a", self.tr("or current, A")),
        ):
            editor.setAccessibleName(hint)
            editor.show_value(getattr(appliance, name), hint, units)
            editor.entered.connect(lambda value, name=name: self._set(name, value))
            editor.refused.connect(self.refused)
        self._kind.setAccessibleName(self.tr("kind of appliance"))
        self._kind.show_value(appliance.kind, "", units)
        self._kind.entered.connect(lambda value: self._set("kind", value))
        self._shed.setChecked(appliance.shed_on_standby)
        self._shed.clicked.connect(lambda on: self._set("shed_on_standby", on))

    def _set(self, name: str, value: object) -> None:
        self.changed.emit(msgspec.structs.replace(self._appliance, **{name: value}))


class AppliancesEditor(QWidget):
    """All appliances of a dwelling; every change enters the whole list anew."""

    entered = Signal(object)
    refused = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._appliances: tuple[Appliance, ...] | None = None
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        add = QPushButton(self.tr("Add appliance"))
        add.clicked.connect(self._add)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self._rows)
        box.addWidget(add, 0, Qt.AlignmentFlag.AlignLeft)

    def show_value(self, value: tuple[Appliance, ...], _hint: str, units: UnitSystem) -> None:
        if value == self._appliances:
            return
        self._appliances = value
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            assert widget is not None
            widget.hide()
            widget.deleteLater()
        for index, appliance in enumerate(value):
            row = _Row(appliance, units)
            row.changed.connect(lambda after, index=index: self._put(index, after))
            row.removed.connect(lambda index=index: self._put(index, None))
            row.refused.connect(self.refused)
            self._rows.addWidget(row)

    def keep_as_typed(self) -> None:
        """Have the rows built again from the document the next time they are shown."""
        self._appliances = None

    def _put(self, index: int, after: Appliance | None) -> None:
        present = self._appliances or ()
        kept = () if after is None else (after,)
        self.entered.emit((*present[:index], *kept, *present[index + 1 :]))

    def _add(self) -> None:
        self.entered.emit((*(self._appliances or ()), Appliance(kind="fixed appliance")))
