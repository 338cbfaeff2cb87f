"""The reader's text scale. Flet does not tell it, so a component that has to re-arrange measures a line."""

import flet as ft

_PROBE_PX = 20
LARGE = 1.35  # from here on rows of controls no longer fit a phone's width and are stacked


def use_text_scale() -> tuple[float, ft.Control]:
    """A hook: the scale (1.0 until measured), and the invisible probe to put in a Stack of the component."""
    scale, set_scale = ft.use_state(1.0)
    line = ft.Text(
        " ",
        style=ft.TextStyle(size=_PROBE_PX, height=1),
        on_size_change=lambda event: set_scale(round(event.height / _PROBE_PX, 2)),
    )
    return scale, ft.Container(content=line, left=0, top=0, opacity=0)
