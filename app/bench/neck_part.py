"""How deep the neck is at the nut: a measure of the build that more than one page needs."""

from __future__ import annotations

from msgspec.structs import replace

from app.document.scene import Scene
from app.document.session import Session
from app.panels.numbers import Line, Numbers
from app.widgets.kit import Form
from geometry.document import edits
from geometry.document.build import Head
from geometry.trade.units import Units


class NeckPart(Form):
    """One field that edits the build."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__()
        self._session = session
        tip = self.tr("At the nut, from the line of the face to its back, the fingerboard not counted")
        line = Line("neck_depth", self.tr("Depth of the neck"), tip=tip)
        self.numbers = Numbers(self, Head, (line,), units, self._edit)

    def show_scene(self, scene: Scene) -> None:
        """Show the depth of the build in sight."""
        self.numbers.show(scene.build.head)

    def _edit(self, line: Line, value: float | None) -> None:
        self._session.act(
            self.tr("Change depth of the neck"),
            lambda build: edits.set_head(build, replace(build.head, **{line.field: value})),
        )
