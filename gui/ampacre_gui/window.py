"""The window of one document: the drawing, the panels around it, menus, tools and status bar."""

from PySide6.QtCore import QEvent, QObject, QPoint, QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication, QLineEdit, QMainWindow, QVBoxLayout, QWidget

from ampacre_gui.access_keys import give_access_keys
from ampacre_gui.badge_menu import BadgeMenu, remembered_badge
from ampacre_gui.canvas.overview import Overview
from ampacre_gui.canvas.view import View
from ampacre_gui.clipboard import Clipboard
from ampacre_gui.command_finder import CommandFinder
from ampacre_gui.commands import Commands
from ampacre_gui.dialogs.about import about
from ampacre_gui.dialogs.keys import KeysDialog
from ampacre_gui.dialogs.panel_help import PanelHelpDialog
from ampacre_gui.dialogs.running import run_dialog
from ampacre_gui.docks import Docks
from ampacre_gui.document import Document
from ampacre_gui.dropped_files import DroppedFiles
from ampacre_gui.file_commands import FileCommands, Opener
from ampacre_gui.filing import ask_to_keep
from ampacre_gui.find_bar import FindBar
from ampacre_gui.guard import Guarded, faults
from ampacre_gui.icons import program_icon
from ampacre_gui.infobar import InfoBar
from ampacre_gui.nudging import Nudging
from ampacre_gui.outside import Outside
from ampacre_gui.panel_commands import add_panel_commands
from ampacre_gui.panels.checklist import Checklist
from ampacre_gui.panels.details import Details
from ampacre_gui.panels.drawer import Drawer
from ampacre_gui.panels.findings import Findings
from ampacre_gui.panels.history import HistoryPanel
from ampacre_gui.panels.outline import Outline
from ampacre_gui.panels.worksheet import WorksheetPanel
from ampacre_gui.phrases import filled
from ampacre_gui.recent_menu import RecentMenu
from ampacre_gui.replace_commands import ReplaceCommands
from ampacre_gui.replace_menu import ReplaceMenu
from ampacre_gui.retracing import Retracing
from ampacre_gui.selection import Selection
from ampacre_gui.status import Status
from ampacre_gui.style import style_sheet
from ampacre_gui.tables.panels import CircuitsPanel, RunsPanel
from ampacre_gui.toolbar import Toolbar
from ampacre_gui.welcome import Welcome
from ampacre_gui.window_keys import WindowKeys

__all__ = ["Window"]

_AREAS = Qt.DockWidgetArea
_KEYS = QKeySequence.StandardKey
_ROOMY = 1500
"""Screens narrower than this are filled by the first window."""


class Window(Guarded, QMainWindow):
    """Builds the views of a document and connects them with each other."""

    def __init__(self, document: Document, opener: Opener) -> None:
        super().__init__()
        self.document = document
        document.setParent(self)
        self.selection = Selection(self)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowIcon(program_icon())
        self._infobar = InfoBar()
        self._outside = Outside(document, self._infobar, self)
        self.find_bar = FindBar(document)
        self.canvas = View(document, self.selection, remembered_badge())
        self.overview = Overview(self.canvas)
        self.welcome = Welcome(self.canvas.viewport())
        self.drawer = Drawer()
        self.outline = Outline(document, self.selection)
        self.history = HistoryPanel(document)
        self.details = Details(document, self.selection)
        self.findings = Findings(document, self.selection)
        self.checklist = Checklist(document, self.selection)
        self.worksheet = WorksheetPanel(document, self.selection)
        self.runs = RunsPanel(document, self.selection)
        self.circuits = CircuitsPanel(document, self.selection)
        self.commands = Commands(document, self.selection, self)
        self.command_finder = CommandFinder(self.commands, self)
        self._docks = Docks(self, self.canvas)
        self.files = FileCommands(document, self.commands, self._infobar, opener, self)
        self._add_commands()
        self._nudging = Nudging(document, self.selection, self.commands, self.canvas)
        Clipboard(document, self.selection, self.commands, self.canvas, self.outline, self)
        Retracing(document, self.selection, self.canvas)
        replacing = ReplaceCommands(document, self.selection, self.commands)
        self.command_finder.coming.connect(replacing.renew)
        self._lay_out()
        add_panel_commands(self._docks, self.commands)
        self._build_menus()
        self._tools = Toolbar(self.commands)
        self.addToolBar(self._tools)
        self._status = Status(document, self.selection, self.canvas)
        self.setStatusBar(self._status)
        self._connect()
        self._show_title()
        self._show_welcome()
        self._outside.say_if_read_only()
        self._follow_selection()

    # commands ---------------------------------------------------------------------------------

    def _add_commands(self) -> None:
        add, canvas = self.commands.add, self.canvas
        add("zoom in", self.tr("Zoom &In"), canvas.zoom_in, _KEYS.ZoomIn, icon="zoom-in")
        add("zoom out", self.tr("Zoom &Out"), canvas.zoom_out, _KEYS.ZoomOut, icon="zoom-out")
        add("full size", self.tr("Size on &Paper"), canvas.full_size, "Ctrl+0")
        add("fit", self.tr("&Whole Drawing"), canvas.fit, "Ctrl+9", icon="fit")
        full = add("full screen", self.tr("&Full Screen"), self._full_screen, "F11")
        full.setCheckable(True)
        add("fit selection", self.tr("Selection Onl&y"), canvas.fit_selection, "Ctrl+8")
        add("details", self.tr("D&etails"), self._show_details, "")
        add("rename", self.tr("Rena&me"), self._rename, "F2")
        add("fold", self.tr("Fold &Away or Show What Hangs Below"), self._fold, "Ctrl+.")
        add("worksheet", self.tr("Work&sheet"), self._show_worksheet, "Ctrl+Shift+W")
        add("find", self.tr("F&ind in the Drawing\u2026"), self.find_bar.come, _KEYS.Find)
        add("find next", self.tr("Find Ne&xt"), lambda: self.find_bar.step(1), "F3")
        add("find previous", self.tr("Find Pre&vious"), lambda: self.find_bar.step(-1), "Shift+F3")
        add("equipment", self.tr("Find &Equipment to Add"), self._find_equipment, "Ins")
        add("panel help", self.tr("What This &Panel Does"), self._show_panel_help, "F1")
        add("command", self.tr("Find a &Command"), self.command_finder.come, "Ctrl+K")
        add("runs", self.tr("&Runs Table"), lambda: self._docks.go_to("runs"), "Ctrl+Shift+R")
        add(
            "circuits",
            self.tr("&Circuits of a Panel"),
            lambda: self._docks.go_to("circuits"),
            "Ctrl+Shift+T",
        )
        add("balance", self.tr("&Balance Legs"), self._balance, "Ctrl+Shift+L")
        add("keys", self.tr("&Keyboard Shortcuts"), self._show_keys, "Ctrl+/")
        add("about", self.tr("&About Ampacre and Cautions"), lambda: about(self), "")
        step = self._docks.step
        add("next pane", self.tr("&Next Panel"), lambda: step(1), "F6")
        add("previous pane", self.tr("Pre&vious Panel"), lambda: step(-1), "Shift+F6")
        zoom_in = self.commands["zoom in"]
        zoom_in.setShortcuts([*zoom_in.shortcuts(), QKeySequence("Ctrl+=")])

    def _build_menus(self) -> None:
        bar, commands = self.menuBar(), self.commands
        file = commands.bar_menu(bar, self.tr("&File"), "new", "new from template", "open")
        self._recent = RecentMenu(file)
        self._recent.chosen.connect(lambda path: self.files.open_all([path]))
        file.addMenu(self._recent)
        commands.fill(
            file, "save", "save as", "save copy", "-", "sheets", "print", "export", "properties", "lists", "-",
            "close", "quit",
        )  # fmt: skip
        edit = commands.bar_menu(
            bar, self.tr("&Edit"), "undo", "redo", "-", "cut", "copy", "paste", "duplicate", "-",
            "rename", "feed from", "balance", "tidy", "keep choices", "delete", "-", "select all", "select none", "-",
            "find", "find next", "find previous", "equipment",
        )  # fmt: skip
        edit.insertMenu(commands["tidy"], self._nudging.menu(edit))
        edit.insertMenu(commands["tidy"], ReplaceMenu(self.document, self.selection, edit))
        view = commands.bar_menu(
            bar, self.tr("&View"), "zoom in", "zoom out", "full size", "fit", "fit selection",
            "full screen", "-",
        )  # fmt: skip
        self._badges = BadgeMenu(view)
        self._badges.chosen.connect(self.canvas.show_badge)
        view.addMenu(self._badges)
        map_of_all = view.addAction(self.tr("Overview &Map"))
        map_of_all.setObjectName("overview map")
        map_of_all.setCheckable(True)
        map_of_all.setChecked(self.overview.wanted)
        map_of_all.toggled.connect(self.overview.want)
        for action in (*self._badges.actions(), map_of_all):
            commands.take(action)
        commands.fill(view, "-", "details", "worksheet", "runs", "circuits", "fold", "-")
        panels = view.addMenu(self.tr("Pane&ls"))
        panels.addActions(self._docks.toggles())
        panels.aboutToShow.connect(lambda: give_access_keys(panels))
        commands.fill(view, "next pane", "previous pane")
        commands.bar_menu(
            bar, self.tr("&Help"), "panel help", "command", "keys", "sample", "-", "about"
        )

    # arrangement ------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        middle = QWidget()
        box = QVBoxLayout(middle)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self._infobar)
        box.addWidget(self.find_bar)
        box.addWidget(self.canvas, 1)
        self.setCentralWidget(middle)
        left, right, below = (
            _AREAS.LeftDockWidgetArea,
            _AREAS.RightDockWidgetArea,
            _AREAS.BottomDockWidgetArea,
        )
        add = self._docks.add
        add("drawer", self.tr("Equipment"), self.drawer, left)
        add("outline", self.tr("Outline"), self.outline, left)
        add("history", self.tr("History"), self.history, left)
        add("details", self.tr("Details"), self.details, right)
        add("findings", self.tr("Findings"), self.findings, below)
        checklist = add("checklist", self.checklist.title(), self.checklist, below)
        self.checklist.title_changed.connect(checklist.setWindowTitle)
        add("worksheet", self.tr("Worksheet"), self.worksheet, below)
        add("runs", self.tr("Runs"), self.runs, below)
        add("circuits", self.tr("Circuits"), self.circuits, below)
        self._docks.share("outline", "history")
        self._docks.share("findings", "checklist", "worksheet", "runs", "circuits")

    def place(self) -> None:
        """Take the size and arrangement of last time, or those for a small laptop."""
        geometry, state = QSettings().value("geometry"), QSettings().value("arrangement")
        room = QGuiApplication.primaryScreen().availableSize()
        if geometry is None or not self.restoreGeometry(geometry):
            self.resize(room.boundedTo(QSize(2000, 1300)) * 0.9)
            if room.width() < _ROOMY:
                self.setWindowState(Qt.WindowState.WindowMaximized)
        if state is None or not self.restoreState(state):
            self._docks.arrange(self.size().boundedTo(room))

    # connections ------------------------------------------------------------------------------

    def _connect(self) -> None:
        document, canvas = self.document, self.canvas
        document.trouble.connect(self._infobar.say_in_passing)
        document.not_kept.connect(self._infobar.say_until_saved)
        document.file_changed.connect(self._infobar.saved)
        document.changed.connect(lambda _: self._infobar.pass_on())
        document.history_changed.connect(self._show_title)
        document.file_changed.connect(self._show_title)
        document.changed.connect(lambda _: self._show_welcome())
        document.changed.connect(lambda _: self._allow_commands())
        document.changed.connect(lambda _: self._show_title())
        self.find_bar.shown.connect(self._show_found)
        self.find_bar.left.connect(self.canvas.setFocus)
        self.drawer.wanted.connect(self._add_from_drawer)
        self.drawer.standing_chosen.connect(self.commands.draw_as)
        self.outline.intent.connect(self.commands.carry_out)
        self.outline.hint.connect(self._status.say)
        canvas.hint.connect(self._status.say)
        for view in (canvas, self.outline):
            view.menu_wanted.connect(self._show_menu)
            view.details_wanted.connect(self._show_details)
        canvas.number_wanted.connect(self._show_working)
        self._status.findings_wanted.connect(lambda: self._docks.show("findings"))
        self.selection.changed.connect(self._follow_selection)
        self.welcome.blank_wanted.connect(self._find_equipment)
        self.welcome.open_wanted.connect(self.files.open)
        self.welcome.template_wanted.connect(self.files.new_from_template)
        DroppedFiles(self, self.files.open_all)
        self.welcome.sample_wanted.connect(self.files.open_sample)
        self.canvas.viewport().installEventFilter(self)
        faults.happened.connect(self._show_fault)
        for line in self.findChildren(QLineEdit):
            WindowKeys.prevail_in(line)
        # from other panels these keys must not reach what is selected on the drawing
        for name in ("delete", "select none"):
            self.commands.keep_to(name, canvas, self.outline)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_look)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self.welcome.centre()
        return False

    def _show_welcome(self) -> None:
        self.welcome.setVisible(not self.document.project.equipment)
        self.welcome.centre()

    def _show_title(self) -> None:
        self.setWindowTitle(f"{self.document.title}[*] \u2014 Ampacre")
        self.setWindowModified(self.document.modified)
        self._tools.property_name.setText(self.document.project.settings.name)

    def _follow_selection(self) -> None:
        self._allow_commands()
        self.findings.show_selected()

    def _allow_commands(self) -> None:
        """Let be used what has something to work on."""
        allow, chosen = self.commands.allow, bool(self.selection.ids)
        for name in ("fit selection", "rename"):
            allow(name, chosen, self.tr("select a piece or a run first"))
        runs = self.document.project.runs.values()
        feeds = any(run.source == self.selection.current for run in runs)
        allow("fold", feeds, self.tr("select a piece that feeds others first"))

    def _follow_look(self) -> None:
        # the palette follows the scheme a moment later
        QTimer.singleShot(0, self._take_look)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange:
            self._follow_look()
        elif event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self._outside.look()
        elif event.type() == QEvent.Type.WindowStateChange:
            self.commands["full screen"].setChecked(self.isFullScreen())
        super().changeEvent(event)

    def _take_look(self) -> None:
        application = QApplication.instance()
        if isinstance(application, QApplication) and application.styleSheet() != style_sheet():
            application.setStyleSheet(style_sheet())
        self.commands.draw_icons()
        self.drawer.draw_icons()
        self.canvas.follow_look()
        self.overview.follow_look()
        self.worksheet.follow_look()
        self.findings.renew()
        self._status.draw_icons()

    def _show_fault(self, sentence: str, details: str) -> None:
        words = self.tr(
            "Something went wrong inside the program. The document is safe and can be saved. (%1)"
        )
        copy = {self.tr("Copy Details"): lambda: QGuiApplication.clipboard().setText(details)}
        self._infobar.say(filled(words, sentence), copy, fault=True)

    # what commands do -------------------------------------------------------------------------

    def _full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def _show_menu(self, at: QPoint) -> None:
        self.commands.context_menu().popup(at)

    def _show_details(self) -> None:
        self._docks.show("details")
        self.details.focus_first()

    def _show_worksheet(self) -> None:
        self._docks.show("worksheet")

    def _show_working(self, field: str) -> None:
        self._show_worksheet()
        self.worksheet.show_number(field)

    def _balance(self) -> None:
        self._docks.go_to("circuits")
        self.circuits.balance()

    def _rename(self) -> None:
        if self.outline.hasFocus():
            self.outline.edit_name()
        else:
            self._show_details()

    def _fold(self) -> None:
        current = self.selection.current
        if current in self.document.project.equipment:
            self.canvas.fold(str(current))

    def _show_found(self, key: str) -> None:
        self.selection.go_to(key)
        self.canvas.bring_to_middle(key)

    def _add_from_drawer(self, kind: str) -> None:
        if self.commands.add_below(kind):
            # what comes next is its name, its values or what hangs from it
            self.drawer.show_all()
            self.canvas.setFocus()

    def _find_equipment(self) -> None:
        self._docks.show("drawer")
        self.drawer.focus_search()

    def _show_keys(self) -> None:
        run_dialog(KeysDialog(self.commands.all(), self))

    def _show_panel_help(self) -> None:
        run_dialog(PanelHelpDialog(*self._docks.panel_in_use(), self))

    def enter_typed(self) -> None:
        """Have what was typed and not yet entered count."""
        focus = QApplication.focusWidget()
        if focus is not None and self.isAncestorOf(focus):
            focus.clearFocus()

    def closeEvent(self, event: QCloseEvent) -> None:
        self.enter_typed()
        if not ask_to_keep(self.document, self):
            event.ignore()
            return
        if self.files.sheets is not None:
            self.files.sheets.close()
        QSettings().setValue("geometry", self.saveGeometry())
        QSettings().setValue("arrangement", self.saveState())
        self.document.close()
        event.accept()
