"""Another movement in the place of the one in hand: an easier form, or one for want of something here."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, quiet_button

if TYPE_CHECKING:
    from companion.actions.session.swap import Swap


EASIER = "Easier form"


def easier_button(do: Swap, *, short: bool = False) -> list[ft.Control]:
    """To change to the easier form at once, where there is one; ``short`` leaves its name to the reader."""
    easier = do.easier()
    if easier is None or not easier.items:
        return []
    name = f"{EASIER}: {easier.items[0].item.chosen.name}"
    return [quiet_button(EASIER if short else name, bound(do.take_easier), name=name, expand=not short)]


def missing_buttons(do: Swap) -> list[ft.Control]:
    """To say that there is no wall, no free floor … after all."""
    return [quiet_button(f"No {one} here", bound(do.do_without, one)) for one in do.needed()]
