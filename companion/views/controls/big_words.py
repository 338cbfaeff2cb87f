"""A name large enough to read from two metres, and never with a word broken in two."""

import re

import flet as ft

from companion.views.controls.parts import words
from companion.views.controls.text_scale import use_text_scale
from companion.views.controls.theme import MAX_TEXT_WIDTH, Space, Type

WIDEST_EM = 0.64  # advance of a letter in a wide word of the strong face, from its table
MEAN_EM = 0.56  # and of a letter in general
MOST_LINES = 3  # longer names are set smaller, so that the clock stays high on the page


def fitting_size(text: str, size: int, *, page_px: float, scale: float) -> int:
    """The size of a text in px: `size`, or less if its longest word would not fit the page or the whole would
    take more than three lines. `scale` is the reader's text scale."""
    longest = max(map(len, re.split(r"[\s-]+", text)), default=1) or 1
    room_px = min(page_px, MAX_TEXT_WIDTH) - 2 * Space.M
    in_few_lines = max(Type.TITLE, MOST_LINES * room_px / (len(text) * MEAN_EM * scale)) if text else size
    return int(max(Type.BODY, min(size, in_few_lines, room_px / (longest * WIDEST_EM * scale))))


@ft.component
def big_words(text: str, *, size: int) -> ft.Control:
    scale, probe = use_text_scale()
    size = fitting_size(text, size, page_px=ft.context.page.width or 412, scale=scale)
    return ft.Stack([probe, words(text, size=size, strong=True)])
