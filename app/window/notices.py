"""What the bars over the drawing say: work to recover, files that others wrote, what cannot be read or kept."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject

from app.document.document import Document
from app.document.naming import full_name
from app.document.recovery import Leftover
from app.document.session import Session
from app.document.settings import SettingsStore
from app.widgets.notice import SAID, Answer, NoticeBar

CHANGED, REFUSED, UNKEPT, UNREAD, WRONG = "changed", "refused", "unkept", "unread", "wrong"
"""The keys of the notices, besides those of offers, which are the files that keep the work."""


class Notices(QObject):
    """Turns what happens to files and settings into notices with answers."""

    def __init__(
        self,
        bar: NoticeBar,
        session: Session,
        document: Document,
        store: SettingsStore,
        show_log: Callable[[], None],
    ) -> None:
        super().__init__(bar)
        self._bar, self._session, self._document, self._store = bar, session, document, store
        self._show_log = show_log
        document.saved.connect(lambda: bar.drop(CHANGED, REFUSED))
        document.refused.connect(lambda why: bar.say(why, key=REFUSED))
        document.changed_outside.connect(self._say_changed_outside)
        document.unkept.connect(self._tell_unkept)
        store.unkept.connect(self._tell_unkept)

    def begin(self) -> None:
        """Say what there is to say at the start."""
        self.offer_leftovers()
        if self._store.problem:
            self._bar.say(self._store.problem, key=UNREAD)
        self._tell_unkept()

    def arrived(self) -> None:
        """Another build is on the bench: what was said of the last one goes, and nothing else."""
        self._bar.drop(SAID, CHANGED, REFUSED)

    # Recovered work

    def offer_leftovers(self) -> int:
        """Offer everything that a crash left behind, the latest first; how many there are."""
        left = self._document.recovery.left_behind()
        for each in left:
            self._offer(each)
        return len(left)

    def show_recovered(self) -> None:
        """Offer recovered work again, or say that there is none."""
        if not self.offer_leftovers():
            self._bar.say(self.tr("There is no work to recover: it was all saved, restored or discarded."))

    def _offer(self, leftover: Leftover) -> None:
        document = self._document
        words = self.tr(
            '"{name}", {file}, was not saved when Pegwright ended. Its last change is of {when}.'
        ).format(
            name=full_name(leftover.build.name, leftover.path) or self.tr("Unnamed"),
            file=leftover.path or self.tr("without a file yet"),
            when=leftover.when.strftime("%Y-%m-%d %H:%M"),
        )
        self._bar.say(
            words,
            Answer(self.tr("Restore"), lambda: document.restore(leftover)),
            Answer(self.tr("Discard"), lambda: document.recovery.discard(leftover)),
            key=str(leftover.kept_in),
            waits=True,
        )

    # Files and settings

    def _tell_unkept(self) -> None:
        """Say what cannot be written as long as that is so."""
        work = self.tr("Unsaved work cannot be kept for the case of a crash, so save it often. {why}")
        choices = self.tr("What is chosen here is not kept for the next time. {why}")
        pairs = ((work, self._document.recovery.problem), (choices, self._store.unwritten))
        told = " ".join(words.format(why=why) for words, why in pairs if why)
        if told:
            self._bar.say(told, key=UNKEPT, stays=True)
        else:
            self._bar.drop(UNKEPT)

    def _say_changed_outside(self) -> None:
        self._bar.say(
            self.tr("Another program or window has written {path}.").format(path=self._session.path),
            Answer(self.tr("Take that version"), self._document.reload),
            Answer(self.tr("Keep mine"), self._document.keep_mine),
            key=CHANGED,
        )

    # Trouble

    def went_wrong(self, line: str) -> None:
        """Keep the build after an unexpected exception, say a sentence, and go on."""
        self._session.cancel()
        self._document.keep_unsaved()
        self._bar.say(
            self.tr(
                "Something went wrong inside Pegwright ({line}). Your build is kept; you can go on."
            ).format(line=line),
            Answer(self.tr("Show the log"), self._show_log),
            key=WRONG,
        )
