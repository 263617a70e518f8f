"""All tools by their names."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from app.canvas.tool import Tool
from app.tools.outline_tools import NodeTool, RoundTool
from app.tools.region import OldHoleTool, RegionTool
from app.tools.select import SelectTool

ToolName = Literal["select", "node", "round", "region", "old hole"]

TOOLS: Mapping[str, type[Tool]] = MappingProxyType(
    {tool.name: tool for tool in (SelectTool, NodeTool, RoundTool, RegionTool, OldHoleTool)}
)
"""The class of each tool; call it with a session and a function that gives the Aids."""
