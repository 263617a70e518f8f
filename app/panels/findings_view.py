"""The list of findings: what mouse and keyboard do in it, and where the limits open."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, Qt, Signal, SignalInstance
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from app.panels.finding_delegate import FindingDelegate
from app.panels.finding_rows import CuresRow, FindingRow, FoldRow, Identity, LimitsRow, identity
from app.panels.findings_model import AnyIndex, FindingsModel
from geometry.checks.judge import Finding

RoomKind = type[LimitsRow | CuresRow]
"""Kinds of rows that hold fields or buttons."""

BY_KEY = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)
"""How the keyboard comes to the list without the mouse."""


class FindingsList(QListView):
    """The list itself; mouse and keyboard do the same in it.

    Signals:
        pointed: the finding under the mouse or the cursor, None when there is none.
        stepped: the finding that the cursor was moved to by a key.
        wanted: the finding that was clicked, or on which Enter was pressed.
        limits_wanted: the finding whose limits are to be opened or closed.
        act_wanted: the finding about which something is to be done at once.
        escaped: Esc was pressed.
    """

    pointed = Signal(object)
    stepped = Signal(object)
    wanted = Signal(object)
    limits_wanted = Signal(object)
    act_wanted = Signal(object)
    escaped = Signal()

    def __init__(self, model: FindingsModel, parent: QWidget) -> None:
        """Show a model."""
        super().__init__(parent)
        self._rows = model
        self._painter = FindingDelegate(model, self)
        self._rooms: dict[RoomKind, QWidget] = {}
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
        self.verticalScrollBar().valueChanged.connect(self._place_rooms)

    def finding_at(self, index: AnyIndex) -> Finding | None:
        """The finding of a row, None for rows of another kind."""
        row = self._rows.rows[index.row()] if index.isValid() else None
        return row.finding if isinstance(row, FindingRow) else None

    def follow(self, change: Callable[[], None], *, waits: bool = True) -> None:
        """Change the rows; the cursor stays on its finding, wherever that goes.

        `waits`: where that is no longer there, the cursor comes back with it, as from under a fold.
        """
        self._following = True
        now = self.currentIndex()
        row = self._rows.rows[now.row()] if now.isValid() else None
        on_fold = self._current is None and isinstance(row, FoldRow)
        change()
        place = self._rows.row_place(FoldRow) if on_fold else None
        if self._current is not None:
            place = self._rows.place(self._current)
        index = self._rows.index(place) if place is not None else QModelIndex()
        gone = self._current is not None and place is None and not waits
        if index != self.currentIndex():
            # Qt would leave the cursor on what has taken the place of its row, which nobody chose.
            self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._following = False
        if gone:
            self._current = None
            self.pointed.emit(None)

    def begin_anew(self) -> None:
        """Of another build nothing is chosen yet, and what is fine is folded."""
        self._current = None
        self.follow(lambda: self._rows.open_fine(shown=False))
        self.selectionModel().setCurrentIndex(QModelIndex(), QItemSelectionModel.SelectionFlag.Clear)

    def show_room(self, kind: RoomKind, room: QWidget) -> None:
        """Show a widget in the row of a kind from now on, where there is one."""
        self._rooms[kind] = room
        self.measure_rooms()

    def drop_room(self, kind: RoomKind) -> None:
        """Show the widget of a kind of row no longer."""
        self._rooms.pop(kind, None)

    def reveal_room(self, kind: RoomKind) -> None:
        """Scroll until the room in the row of a kind and its finding are in sight."""
        place = self._rows.row_place(kind)
        if place is not None:
            self.measure_rooms()
            self.executeDelayedItemsLayout()
            self.scrollTo(self._rows.index(place))
            self.scrollTo(self._rows.index(place - 1))
            self._place_rooms()

    def measure_rooms(self) -> None:
        """Rows that hold fields or buttons are as high as these need."""
        width = self.viewport().width()
        heights = {kind: _height_of(room, width) for kind, room in self._rooms.items()}
        if heights != self._painter.heights:
            self._painter.heights = heights
            self.scheduleDelayedItemsLayout()

    def _place_rooms(self) -> None:
        for kind, room in self._rooms.items():
            place = self._rows.row_place(kind)
            if kind is CuresRow:  # limits go when whoever opened them closes them
                room.setVisible(place is not None)
            if place is not None:
                room.setGeometry(self.visualRect(self._rows.index(place)))

    # Mouse and keyboard

    def _act_on(self, index: QModelIndex) -> None:
        row = self._rows.rows[index.row()]
        if isinstance(row, FoldRow):
            self.follow(lambda: self._rows.open_fine(shown=not row.opened))
        elif isinstance(row, FindingRow):
            self.wanted.emit(row.finding)

    def _link_at(self, index: QModelIndex, place: QPoint) -> SignalInstance | None:
        """What a click on the words at a place asks for, None beside them."""
        finding = self.finding_at(index)
        if finding is None:
            return None
        row, fonts = self.visualRect(index), self.fontMetrics()
        if self._painter.limits_link(row, fonts, finding).adjusted(-6, -4, 6, 6).contains(place):
            return self.limits_wanted
        act = self._painter.act_link(row, fonts, finding)
        return self.act_wanted if not act.isEmpty() and act.adjusted(-6, -4, 6, 6).contains(place) else None

    # What Qt calls

    def currentChanged(self, current: AnyIndex, previous: AnyIndex) -> None:  # noqa: N802 - Qt's name
        """The cursor points, as the mouse does."""
        super().currentChanged(current, previous)
        if not self._following:
            finding = self.finding_at(current)
            self._current = identity(finding) if finding is not None else None
            self.pointed.emit(finding)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """A click shows the finding on the head; on its words "limits" it opens them, on an act it does that."""
        super().mousePressEvent(event)
        place = event.position().toPoint()
        index = self.indexAt(place)
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid():
            return
        link = self._link_at(index, place)
        if link is not None:
            link.emit(self.finding_at(index))
        else:
            self._act_on(index)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """The mouse points."""
        super().mouseMoveEvent(event)
        place = event.position().toPoint()
        index = self.indexAt(place)
        shapes, link = Qt.CursorShape, self._link_at(index, place)
        self.viewport().setCursor(shapes.PointingHandCursor if link else shapes.ArrowCursor)
        self.pointed.emit(self.finding_at(index))

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """The mouse points at nothing any more."""
        super().leaveEvent(event)
        self.pointed.emit(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter shows the finding on the head or opens the fold, L its limits, U does what can be done at once."""
        index = self.currentIndex()
        finding = self.finding_at(index)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and index.isValid():
            self._act_on(index)
        elif event.key() == Qt.Key.Key_L and finding is not None:
            self.limits_wanted.emit(finding)
        elif event.key() == Qt.Key.Key_U and finding is not None:
            self.act_wanted.emit(finding)
        else:
            if event.key() == Qt.Key.Key_Escape:
                self.escaped.emit()
            super().keyPressEvent(event)
            now = self.finding_at(self.currentIndex())
            if now is not None and now is not finding:
                self.stepped.emit(now)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Who comes by a key finds the cursor on the first finding; Qt would put it there for everybody, unseen."""
        index, self._following = self.currentIndex(), True
        super().focusInEvent(event)
        self._following = False
        flag = QItemSelectionModel.SelectionFlag
        if event.reason() in BY_KEY and self._rows.rows:
            index = index if index.isValid() else self._rows.index(0)
            # Qt has put the cursor there already, which tells nobody.
            self.selectionModel().setCurrentIndex(QModelIndex(), flag.Clear)
            self.selectionModel().setCurrentIndex(index, flag.ClearAndSelect)
        elif not index.isValid():
            self.selectionModel().setCurrentIndex(QModelIndex(), flag.Clear)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Sentences wrap anew in another width; a list that runs down is laid out anew for another height only."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()

    def updateGeometries(self) -> None:  # noqa: N802 - Qt's name
        """Limits and cures go with their rows."""
        self.measure_rooms()
        super().updateGeometries()
        self._place_rooms()


def _height_of(room: QWidget, width: int) -> int:
    """How high what lies in a row must be in so much width, in pixels."""
    layout = room.layout()
    assert layout is not None, "what lies in a row is laid out"
    height = layout.totalHeightForWidth(width) if layout.hasHeightForWidth() else -1
    return max(height, layout.totalMinimumSize().height())
