"""How the sheet tells what the job took from a file for the shop."""

from __future__ import annotations

from foldswing.job import ShopUse
from foldswing.sheet import Block, Heading, KeyValues, Paragraph


def shop_blocks(use: ShopUse | None) -> list[Block]:
    """Return which shop file was used, and which values came from it."""
    if use is None:
        return []
    said = f"Shop file {use.name}{f' of {use.shop}' if use.shop else ''}, SHA-256 {use.sha256[:12]}."
    blocks: list[Block] = [Heading("From the shop's file"), Paragraph(said)]
    if not use.values:
        return [*blocks, Paragraph("Nothing was taken from it: the job says everything itself.")]
    return [
        *blocks,
        KeyValues(tuple((key.replace("_", " ").replace("k factor", "k-factor"), text) for key, text in use.values)),
    ]
