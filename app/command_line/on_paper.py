"""How pages are wanted: the shop with its paper, one of its printers, a date."""

from __future__ import annotations

import argparse
import re
from contextlib import suppress
from datetime import UTC, date, datetime

from msgspec.structs import replace

from app.command_line.common import own_shop
from app.document.messages import Refusal
from export.paper import paper_named
from geometry.trade.escapes import quoted
from geometry.trade.shop import PrinterProfile, Shop


def chosen_shop(chosen: argparse.Namespace) -> Shop:
    """The maker's shop, with the paper of --paper."""
    shop = own_shop(chosen.shop)
    try:
        return replace(shop, paper=paper_named(chosen.paper).name) if chosen.paper else shop
    except ValueError as error:
        raise Refusal(f"--paper: {error}") from None


def chosen_printer(shop: Shop, name: str | None) -> PrinterProfile:
    """The printer of the shop that --printer names, else its first; Refusal when it has no such one."""
    known = {profile.name: profile for profile in shop.printers}
    if name is not None and name not in known:
        raise Refusal(
            f"--printer: the shop has no printer {quoted(name)}; expected one of {', '.join(map(quoted, known))}."
        )
    return shop.printers[0] if name is None else known[name]


def chosen_date(text: str | None) -> date | None:
    """The day that --date gives, None without; Refusal when it is no date."""
    if text is None:
        return None
    if text == "today":
        return datetime.now(tz=UTC).astimezone().date()
    with suppress(ValueError):
        # Other ways of ISO 8601, weeks and days without hyphens, are read by fromisoformat too.
        if re.fullmatch(r"[12][0-9]{3}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    raise Refusal(f"--date: {quoted(text)} is no date; expected YYYY-MM-DD or today.")
