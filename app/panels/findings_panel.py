"""Findings, always in sight: a headline, then each one with its margin, worst first."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QLabel, QListView, QVBoxLayout, QWidget

from app.canvas.levels import level_icon
from app.panels.finding_rows import FindingRow, FoldRow, Identity, headline, identity, rules_of
from app.panels.findings_list import AnyIndex, FindingDelegate, FindingsModel, look_of
from app.panels.limit_editor import LimitEditor
from app.panels.panel import button
from app.scene import Scene
from app.session import Session
from geometry.build import mark_edits
from geometry.build.lengths import Units
from geometry.checks.judge import Finding, Level


class FindingsPanel(QWidget):
    """Whether the head can be drilled, and why not.

    Signals:
        hovered: the finding that the mouse or the keyboard points at, None when it points at none.
        chosen: the finding that the maker wants to see on the head.
    """

    hovered = Signal(object)
    chosen = Signal(object)

    def __init__(self, session: Session, units: Units = "mm", parent: QWidget | None = None) -> None:
        """Show the findings of the session's scene."""
        super().__init__(parent)
        self.session = session
        self.model = FindingsModel(units)
        self.list = FindingsList(self.model, self)
        self.setAccessibleName(self.tr("Findings"))
        self._level: Level | None = None
        self._pointed: Finding | None = None
        self._editor: LimitEditor | None = None
        self.sign = QLabel()
        self.sentence = QLabel()
        self.sentence.setWordWrap(True)
        self.sentence.setAccessibleName(self.tr("Verdict"))
        font = QFont(self.sentence.font())
        font.setWeight(QFont.Weight.DemiBold)
        self.sentence.setFont(font)
        self.changed_count = QLabel()
        self.reset_all = button(self.tr("Reset all"), self.tr("Take the usual limits again everywhere"))
        self._lay_out()
        self.list.pointed.connect(self._point_at)
        self.list.wanted.connect(self.chosen)
        self.list.limits_wanted.connect(self.toggle_limits)
        self.reset_all.clicked.connect(self._reset_all)
        session.changed.connect(self.show_scene)
        self.show_scene(session.scene)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(12, 12, 12, 12)
        head.setSpacing(8)
        head.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.sentence, 1)
        self.foot = QWidget()
        foot = QHBoxLayout(self.foot)
        foot.setContentsMargins(12, 6, 12, 6)
        foot.addWidget(self.changed_count, 1)
        foot.addWidget(self.reset_all)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.list, 1)
        column.addWidget(self.foot)

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self.model.set_units(units)
        if self._editor is not None:
            self._editor.set_units(units)

    def show_scene(self, scene: Scene) -> None:
        """Show the findings of a scene; the list stays where it is scrolled to."""
        self.list.follow(lambda: self.model.show(scene.findings, scene.build.limits))
        self._show_headline(scene)
        changed = len(scene.build.limits)
        self.foot.setVisible(changed > 0)
        if changed:
            self.changed_count.setText(self.tr("Changed limits: %n", "", changed))
        if self._editor is not None:
            self._show_limits(scene)
        if self._pointed is not None:
            self._follow_pointed(scene)

    def _show_headline(self, scene: Scene) -> None:
        level, words = headline(scene.findings)
        if words != self.sentence.text():
            self.sentence.setText(words)
        if level is not self._level:
            self._level = level
            self._show_sign()

    def _show_sign(self) -> None:
        size = self.sentence.fontMetrics().height()
        icon = level_icon(self._level or Level.FINE, look_of(self.palette()), size)
        self.sign.setPixmap(icon.pixmap(QSize(size, size), self.devicePixelRatio()))

    # Pointing

    def _point_at(self, finding: Finding | None) -> None:
        if finding is not self._pointed:
            self._pointed = finding
            self.hovered.emit(finding)

    def _follow_pointed(self, scene: Scene) -> None:
        """What is pointed at may have been measured anew."""
        assert self._pointed is not None, "asked only while something is pointed at"
        check, wanted = self._pointed.check, identity(self._pointed)
        now = next(
            (each for each in scene.findings if each.check == check and identity(each) == wanted), None
        )
        if now != self._pointed:
            self._point_at(now)

    # Limits

    def toggle_limits(self, finding: Finding) -> None:
        """Open the limits under a finding, or close them."""
        wanted = identity(finding)
        if self.model.limits_of == wanted:
            self.close_limits()
            return
        self.close_limits()
        if not rules_of(finding.check):
            return
        self._editor = LimitEditor(self.session, finding.check, self.model.units, self.list.viewport())
        self._editor.done.connect(self.close_limits)
        self.list.show_editor(self._editor)
        self.list.follow(lambda: self.model.open_limits(wanted))
        self.list.reveal_limits()
        self._editor.take_focus()

    def close_limits(self) -> None:
        """Close the limits that are open."""
        if self._editor is not None:
            editor, self._editor = self._editor, None
            had_focus = editor.isAncestorOf(self.focusWidget()) if self.focusWidget() else False
            self.list.show_editor(None)
            editor.hide()
            editor.deleteLater()
            self.list.follow(lambda: self.model.open_limits(None))
            if had_focus:
                self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_limits(self, scene: Scene) -> None:
        assert self._editor is not None, "asked only while limits are open"
        self._editor.show_build(scene.build)
        if self.model.limits_place() is None:
            self.close_limits()

    def _reset_all(self) -> None:
        self.session.act(self.tr("Reset all limits"), mark_edits.reset_limits)

    # What Qt calls

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Wide enough to read, as high as there is room."""
        return QSize(320, 480)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Another palette or size of type: the sign is drawn anew."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange) and self._level is not None:
            self._show_sign()


class FindingsList(QListView):
    """The list itself; mouse and keyboard do the same in it.

    Signals:
        pointed: the finding under the mouse or the cursor, None when there is none.
        wanted: the finding that was clicked, or on which Enter was pressed.
        limits_wanted: the finding whose limits are to be opened or closed.
    """

    pointed = Signal(object)
    wanted = Signal(object)
    limits_wanted = Signal(object)

    def __init__(self, model: FindingsModel, parent: QWidget) -> None:
        """Show a model."""
        super().__init__(parent)
        self._rows = model
        self._painter = FindingDelegate(model, self)
        self._editor: LimitEditor | None = None
        self._following = False
        self._current: Identity | None = None
        self.setModel(model)
        self.setItemDelegate(self._painter)
        self.setAccessibleName(self.tr("Findings, worst first"))
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setMouseTracking(True)
        self.verticalScrollBar().valueChanged.connect(self._place_editor)

    def finding_at(self, index: AnyIndex) -> Finding | None:
        """The finding of a row, None for rows of another kind."""
        row = self._rows.rows[index.row()] if index.isValid() else None
        return row.finding if isinstance(row, FindingRow) else None

    def follow(self, change: Callable[[], None]) -> None:
        """Change the rows; the cursor stays on its finding, wherever that goes."""
        self._following = True
        change()
        place = self._rows.place(self._current) if self._current is not None else None
        index = self._rows.index(place) if place is not None else QModelIndex()
        if self._current is not None and index != self.currentIndex():
            self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._following = False

    def show_editor(self, editor: LimitEditor | None) -> None:
        """Show the limits in their row, or no longer."""
        self._editor = editor
        if editor is not None:
            editor.show()
            self._measure_editor()

    def reveal_limits(self) -> None:
        """Scroll until the limits are in sight."""
        place = self._rows.limits_place()
        if place is not None:
            self.executeDelayedItemsLayout()
            self.scrollTo(self._rows.index(place))
            self.scrollTo(self._rows.index(place - 1))
            self._place_editor()

    def _measure_editor(self) -> None:
        if self._editor is not None:
            layout = self._editor.layout()
            assert layout is not None, "the editor lays its forms out"
            width = self.viewport().width()
            height = layout.totalHeightForWidth(width) if layout.hasHeightForWidth() else -1
            needed = max(height, layout.totalMinimumSize().height())
            if needed != self._painter.limits_height:
                self._painter.limits_height = needed
                self.scheduleDelayedItemsLayout()

    def _place_editor(self) -> None:
        place = self._rows.limits_place() if self._editor is not None else None
        if self._editor is not None and place is not None:
            self._editor.setGeometry(self.visualRect(self._rows.index(place)))

    # Mouse and keyboard

    def _act_on(self, index: QModelIndex) -> None:
        row = self._rows.rows[index.row()]
        if isinstance(row, FoldRow):
            self.follow(lambda: self._rows.open_fine(shown=not row.opened))
        elif isinstance(row, FindingRow):
            self.wanted.emit(row.finding)

    def _on_link(self, index: QModelIndex, place: QPoint) -> bool:
        finding = self.finding_at(index)
        if finding is None:
            return False
        link = self._painter.limits_link(self.visualRect(index), self.fontMetrics(), finding)
        return link.adjusted(-6, -4, 6, 6).contains(place)

    # What Qt calls

    def currentChanged(self, current: AnyIndex, previous: AnyIndex) -> None:  # noqa: N802 - Qt's name
        """The cursor points, as the mouse does."""
        super().currentChanged(current, previous)
        if not self._following:
            finding = self.finding_at(current)
            self._current = identity(finding) if finding is not None else None
            self.pointed.emit(finding)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """A click shows the finding on the head; on its words "limits" it opens them."""
        super().mousePressEvent(event)
        place = event.position().toPoint()
        index = self.indexAt(place)
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid():
            return
        if self._on_link(index, place):
            self.limits_wanted.emit(self.finding_at(index))
        else:
            self._act_on(index)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """The mouse points."""
        super().mouseMoveEvent(event)
        place = event.position().toPoint()
        index = self.indexAt(place)
        link = self._on_link(index, place)
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if link else Qt.CursorShape.ArrowCursor)
        self.pointed.emit(self.finding_at(index))

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """The mouse points at nothing any more."""
        super().leaveEvent(event)
        self.pointed.emit(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter shows the finding on the head or opens the fold, L its limits."""
        index = self.currentIndex()
        finding = self.finding_at(index)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and index.isValid():
            self._act_on(index)
        elif event.key() == Qt.Key.Key_L and finding is not None:
            self.limits_wanted.emit(finding)
        else:
            super().keyPressEvent(event)

    def updateGeometries(self) -> None:  # noqa: N802 - Qt's name
        """The limits go with their row."""
        self._measure_editor()
        super().updateGeometries()
        self._place_editor()
