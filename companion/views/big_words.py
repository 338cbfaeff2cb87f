"""The name of what is on, large enough to be read from two metres, and never with a word broken in two."""

import re

import flet as ft

from companion.views.parts import words
from companion.views.text_scale import use_text_scale
from companion.views.theme import MAX_TEXT_WIDTH, Space, Type

WIDEST_EM = 0.64  # advance of a letter in a wide word of the strong face, from its table


def fitting_size(text: str, size: int, *, page_px: float, scale: float) -> int:
    """`size`, or less where the longest word of `text` would not fit a page of `page_px` at this scale."""
    longest = max(map(len, re.split(r"[\s-]+", text)), default=1) or 1
    room_px = min(page_px, MAX_TEXT_WIDTH) - 2 * Space.M
    return int(max(Type.BODY, min(size, room_px / (longest * WIDEST_EM * scale))))


@ft.component
def big_words(text: str, *, size: int) -> ft.Control:
    scale, probe = use_text_scale()
    size = fitting_size(text, size, page_px=ft.context.page.width or 412, scale=scale)
    return ft.Stack([probe, words(text, size=size, strong=True)])
