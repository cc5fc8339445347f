"""The desk of lesson 00, worked as a reader does, and what stands on its page."""

from __future__ import annotations

import html
import re

from mixlib.panel.form.desk import DescriptionDesk

LEAST = {"span": "1600", "root": "190", "mass": "950", "balance": "62", "lead": "Y-lead"}


def put(desk: DescriptionDesk, **answers: str) -> None:
    for key, value in answers.items():
        desk.receive({"put": key, "value": value})


def type_in(desk: DescriptionDesk, key: str, text: str) -> None:
    """Letter by letter."""
    for end in range(1, len(text) + 1):
        desk.receive({"put": key, "value": text[:end], "typed": True})


def press(desk: DescriptionDesk, *keys: str) -> None:
    for key in keys:
        desk.receive({"press": key})


def said(desk: DescriptionDesk) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", desk.stage.said)).split())


def shown(desk: DescriptionDesk) -> list[dict]:
    """Every item on the page, rows opened."""
    rows = list(desk.sheet.page["rows"])
    return [item for row in rows for item in (row, *_inside(row))]


def _inside(item: dict) -> list[dict]:
    return [found for part in item.get("items", ()) for found in (part, *_inside(part))]


def item(desk: DescriptionDesk, key: str) -> dict:
    return next(found for found in shown(desk) if found.get("key") == key)


def kept(desk: DescriptionDesk, name: str = "Garden glider") -> DescriptionDesk:
    put(desk, **LEAST, name=name)
    press(desk, "step:done", "keep")
    return desk
