"""All actions to look through: by words of what you want to do, to be done with Enter, or by their keys."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QCoreApplication, QEvent, QModelIndex, QObject, QPersistentModelIndex, QSize, Qt
from PySide6.QtGui import QAction, QIcon, QKeyEvent, QPainter, QPalette
from PySide6.QtWidgets import (
    QDialog,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.widgets.sizes import fit
from app.window.actions.action import MENUS, translated
from app.window.actions.table import ACTIONS, matching
from app.window.help import mouse_lines, table_html

KEY = Qt.ItemDataRole.UserRole
TIP = KEY + 1
SHORTCUT = KEY + 2
PAD = 8
ICON = 20
"""Pixels round the words of a line, and of its icon."""


def keys_html() -> str:
    """All keys, menu by menu."""
    parts = []
    for menu, words in MENUS.items():
        lines = tuple((each.keys, each.name) for each in ACTIONS if each.menu == menu and each.shortcut)
        parts.append(f"<h3>{escape(translated(words).replace('&', ''))}</h3>{table_html(lines)}")
    heading = QCoreApplication.translate("Help", "What the mouse does")
    return "".join(parts) + f"<h3>{escape(heading)}</h3>{table_html(mouse_lines())}"


class CommandSearch(QDialog):
    """A line to type in and the actions that fit."""

    def __init__(self, actions: dict[str, QAction], parent: QWidget | None = None) -> None:
        """Search the actions by their keys in the table; what cannot be done now is shown faded."""
        super().__init__(parent)
        self._actions = actions
        self.setWindowTitle(self.tr("Find an action"))
        self.field = QLineEdit()
        self.field.setPlaceholderText(self.tr("What do you want to do?"))
        self.field.setAccessibleName(self.tr("What to do"))
        self.field.setToolTip(self.tr("Words of what you want to do, in any order"))
        self.field.setClearButtonEnabled(True)
        self.list = QListWidget()
        self.list.setAccessibleName(self.tr("Actions that fit"))
        self.list.setToolTip(self.tr("Enter or a double click does it"))
        self.list.setItemDelegate(_Lines(self.list))
        self.list.setUniformItemSizes(True)
        self.none = PlainLabel(self.tr("No action has these words. Try fewer of them."))
        self.none.setAlignment(Qt.AlignmentFlag.AlignCenter)
        parts = self.field, (self.list, 1), self.none
        filled(QVBoxLayout(self), *parts, margins=(12, 12, 12, 12), spacing=8)
        self.field.textChanged.connect(self._fill)
        self.field.returnPressed.connect(self._do)
        self.list.itemActivated.connect(self._do)
        self.field.installEventFilter(self)
        height = self.fontMetrics().height()
        fit(self, height * 40, height * 24)
        self._fill()

    def _fill(self) -> None:
        self.list.clear()
        for action in matching(self.field.text()):
            made = self._actions[action.key]
            item = QListWidgetItem(made.text().replace("&", "").removesuffix("…"))
            item.setData(KEY, action.key)
            item.setData(TIP, translated(action.tip))
            item.setData(SHORTCUT, action.keys)
            item.setToolTip(translated(action.tip))
            item.setIcon(made.icon())
            if not made.isEnabled():
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEnabled)
            self.list.addItem(item)
        self.list.setCurrentRow(self._first_that_works())
        self.list.setVisible(self.list.count() > 0)
        self.none.setVisible(self.list.count() == 0)

    def _first_that_works(self) -> int:
        rows = range(self.list.count())
        return next((row for row in rows if self.list.item(row).flags() & Qt.ItemFlag.ItemIsEnabled), -1)

    def _do(self) -> None:
        item = self.list.currentItem()
        if item is None or not item.flags() & Qt.ItemFlag.ItemIsEnabled:
            return
        action = self._actions[item.data(KEY)]
        self.accept()
        action.trigger()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Up and down move through the list while the typing goes on."""
        keys = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in keys:
            self.list.keyPressEvent(event)
            return True
        return super().eventFilter(watched, event)


class _Lines(QStyledItemDelegate):
    """An action on two lines: its name with its key at the right, and what it does beneath."""

    def sizeHint(  # noqa: N802 - Qt's name
        self,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,  # noqa: ARG002
    ) -> QSize:
        """Two lines of type and some air."""
        return QSize(200, 2 * option.fontMetrics.height() + 2 * PAD)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Draw icon and words over the style's own ground."""
        widget = option.widget
        widget.style().drawPrimitive(QStyle.PrimitiveElement.PE_PanelItemViewItem, option, painter, widget)
        usable = bool(option.state & QStyle.StateFlag.State_Enabled)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        role = QPalette.ColorRole
        strong, weak = (
            (role.HighlightedText, role.HighlightedText) if chosen else (role.Text, role.PlaceholderText)
        )
        group = QPalette.ColorGroup.Active if usable else QPalette.ColorGroup.Disabled
        height = option.fontMetrics.height()
        mode = QIcon.Mode.Normal if usable else QIcon.Mode.Disabled
        left = option.rect.adjusted(PAD, 0, -PAD, 0)
        icon = index.data(Qt.ItemDataRole.DecorationRole)
        if icon is not None and not chosen:
            icon.paint(painter, left.left(), left.top(), ICON, left.height(), mode=mode)
        words = left.adjusted(ICON + PAD, PAD, 0, -PAD)
        painter.save()
        painter.setFont(option.font)
        painter.setPen(option.palette.color(group, strong))
        first = words.adjusted(0, 0, 0, height - words.height())
        painter.drawText(first, Qt.AlignmentFlag.AlignLeft, index.data(Qt.ItemDataRole.DisplayRole))
        painter.setPen(option.palette.color(group, weak))
        painter.drawText(first, Qt.AlignmentFlag.AlignRight, index.data(SHORTCUT))
        tip = option.fontMetrics.elidedText(index.data(TIP), Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words, Qt.AlignmentFlag.AlignBottom, tip)
        painter.restore()
