"""The little that the window adds to the desktop's own style: quiet headings and even spacing."""

from importlib import resources
from pathlib import Path

from PySide6.QtGui import QColor, QGuiApplication, QPalette

from ampacre_gui.look import DARK, look

__all__ = ["style_sheet"]


def _mixed(a: QColor, b: QColor, share: float) -> str:
    """Give a colour between two, `share` of the way from the first to the second."""
    red, green, blue = (
        round(x() * (1 - share) + y() * share)
        for x, y in ((a.red, b.red), (a.green, b.green), (a.blue, b.blue))
    )
    return QColor(red, green, blue).name()


def _icon(name: str) -> str:
    name = f"{name}-{'dark' if look() is DARK else 'light'}.svg"
    return Path(str(resources.files("ampacre_resources") / "icons" / name)).as_posix()


def style_sheet() -> str:
    """Give the style sheet for the desktop's present colours."""
    palette = QGuiApplication.palette()
    colours = look()
    window = palette.color(QPalette.ColorRole.Window)
    text = palette.color(QPalette.ColorRole.WindowText)
    base = palette.color(QPalette.ColorRole.Base)
    faint, line, quiet = (
        _mixed(window, text, 0.05),
        _mixed(window, text, 0.16),
        _mixed(text, window, 0.3),
    )
    handle, edge = _mixed(window, text, 0.3), _mixed(window, text, 0.45)
    accent = colours.select.name()
    return f"""
    QMainWindow::separator {{ background: {line}; width: 1px; height: 1px; }}
    QMainWindow::separator:hover {{ background: {accent}; }}
    QDockWidget {{ font-weight: 600; titlebar-close-icon: url("{_icon("close")}");
        titlebar-normal-icon: url("{_icon("float")}"); }}
    QDockWidget > QWidget {{ font-weight: 400; }}
    QDockWidget::title {{ background: {faint}; padding: 4px 10px; }}
    QToolBar {{ border: 0; border-bottom: 1px solid {line}; padding: 2px 6px; spacing: 2px; }}
    QToolBar QToolButton {{ padding: 3px; }}
    QToolBar::separator {{ width: 1px; margin: 5px 6px; background: {line}; }}
    QStatusBar {{ border-top: 1px solid {line}; }}
    QStatusBar::item {{ border: 0; }}
    QStatusBar QLabel {{ padding: 0 6px; }}
    QLabel#heading {{ font-weight: 600; }}
    QLabel#quiet {{ color: {quiet}; }}
    QLabel#reason {{ color: {colours.layers["flag"].name()}; }}
    QFrame#rule {{ border: 0; border-top: 1px solid {line}; max-height: 1px; }}
    QTreeView, QListWidget, QTextBrowser, QTableView {{ background: {base.name()};
        border: 2px solid {base.name()}; }}
    QTreeView:focus, QListWidget:focus, QTextBrowser:focus, QTableView:focus, QListView#history:focus,
    QGraphicsView#canvas:focus {{ border-color: {accent}; }}
    QGraphicsView#canvas {{ border: 2px solid {colours.paper.name()}; }}
    QTreeView::item {{ padding: 2px 2px; }}
    QTreeView::item:selected, QListWidget::item:selected {{
        background: {_mixed(base, colours.select, 0.22)}; color: {text.name()}; }}
    QTreeView::item:hover:!selected, QListWidget::item:hover:!selected {{
        background: {_mixed(base, colours.select, 0.08)}; }}
    QTableView {{ gridline-color: {line}; }}
    QTableView::item:selected {{ background: {_mixed(base, colours.select, 0.28)};
        color: {text.name()}; }}
    QTableView QLineEdit#cell {{ border-radius: 0; border: 2px solid {accent}; padding: 0 3px; }}
    QListView#history {{ background: {base.name()}; border: 2px solid {base.name()}; }}
    QListView#history::item {{ padding: 4px 6px; }}
    QListView#history::item:selected {{
        background: {_mixed(base, colours.select, 0.22)}; color: {text.name()}; }}
    QListView#history::item:hover:!selected {{ background: {_mixed(base, colours.select, 0.08)}; }}
    QListWidget::item {{ border-radius: 6px; padding: 3px; }}
    QHeaderView::section {{ background: {base.name()}; color: {quiet}; border: 0;
        border-bottom: 1px solid {line}; padding: 3px 6px; font-weight: 400; }}
    QLineEdit, QComboBox, QPlainTextEdit, QDateEdit {{ border: 1px solid {edge}; border-radius: 4px;
        background: {base.name()}; padding: 3px 6px; placeholder-text-color: {colours.quiet.name()};
        selection-background-color: {accent}; selection-color: {colours.on_mark["advice"].name()}; }}
    QLineEdit:focus, QComboBox:focus, QPlainTextEdit:focus, QDateEdit:focus {{ border: 2px solid {accent};
        padding: 2px 5px; }}
    QComboBox {{ combobox-popup: 0; }}
    QComboBox QAbstractItemView::item {{ min-height: 24px; }}
    QComboBox[nothing="true"] {{ color: {colours.quiet.name()}; font-style: italic; }}
    QComboBox[nothing="true"] QAbstractItemView {{ font-style: normal; }}
    QComboBox::drop-down, QDateEdit::drop-down {{ border: 0; width: 20px; }}
    QComboBox::down-arrow, QDateEdit::down-arrow {{ image: url("{_icon("down")}"); width: 12px; height: 12px; }}
    QCheckBox::indicator, QListWidget::indicator {{ width: 12px; height: 12px; border-radius: 2px;
        border: 1px solid {edge}; background: {base.name()}; }}
    QCheckBox::indicator:checked, QListWidget::indicator:checked {{ image: url("{_icon("check")}"); }}
    QCheckBox::indicator:indeterminate {{ image: url("{_icon("partly")}"); }}
    QCheckBox::indicator:focus {{ border: 2px solid {accent}; width: 10px; height: 10px; }}
    QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
    QPushButton {{ border: 1px solid {line}; border-radius: 4px; padding: 5px 12px;
        background: {faint}; }}
    QPushButton:hover {{ background: {_mixed(window, colours.select, 0.12)}; }}
    QPushButton:focus {{ border: 2px solid {accent}; padding: 4px 11px; }}
    QPushButton:checked {{ background: {_mixed(window, colours.select, 0.3)};
        border-color: {accent}; }}
    QPushButton:disabled {{ color: {quiet}; }}
    QPushButton#remedy {{ text-align: left; border-color: {colours.target.name()}; }}
    QPushButton:default {{ border-color: {accent}; }}
    QTabBar::tab {{ padding: 5px 14px; border: 0; border-bottom: 2px solid transparent;
        color: {quiet}; }}
    QTabBar::tab:selected {{ border-bottom-color: {accent}; color: {text.name()}; }}
    QTabBar::tab:hover {{ color: {text.name()}; }}
    QFrame#infobar {{ background: {_mixed(window, colours.mark["warning"], 0.2)};
        border: 0; border-bottom: 1px solid {line}; }}
    QFrame#infobar[mark="violation"] {{ background: {_mixed(window, colours.mark["violation"], 0.2)}; }}
    QFrame#infobar[mark="fine"] {{ background: {_mixed(window, colours.mark["fine"], 0.2)}; }}
    QLabel#bubble {{ background: {base.name()}; color: {text.name()}; border: 1px solid {handle};
        border-radius: 6px; padding: 6px 10px; }}
    QFrame#overlay {{ background: {window.name()}; border: 1px solid {handle}; border-radius: 8px; }}
    QFrame#findbar {{ background: {faint}; border: 0; border-bottom: 1px solid {line}; }}
    QFrame#welcome {{ background: transparent; }}
    QScrollBar:vertical {{ width: 11px; background: transparent; margin: 0; }}
    QScrollBar:horizontal {{ height: 11px; background: transparent; margin: 0; }}
    QScrollBar::handle {{ background: {handle}; border-radius: 3px; margin: 2px; min-height: 28px;
        min-width: 28px; }}
    QScrollBar::handle:hover {{ background: {quiet}; }}
    QAbstractScrollArea::corner {{ background: transparent; border: 0; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
    QToolTip {{ background: {base.name()}; color: {text.name()}; border: 1px solid {handle};
        padding: 4px; }}
    """
