"""The tools by their names."""

from __future__ import annotations

from collections.abc import Callable

from app.action import ToolName
from app.session import Session
from app.tools.catalogue import TOOLS
from app.tools.tool import Aids, Tool


def make_tool(name: ToolName, session: Session, aids: Callable[[], Aids]) -> Tool:
    """A tool, fresh from the drawer."""
    return TOOLS[name](session, aids)
