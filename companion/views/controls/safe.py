"""Components that fail in sight: otherwise a fault in drawing one would freeze the app without a word."""

import functools
import logging
from collections.abc import Callable
from typing import Any

import flet as ft

from companion.views.controls.parts import problem_panel


def safe_component(render: Callable[..., Any]) -> Callable[..., Any]:
    """Replaces ft.component: a fault in drawing is logged, and shown where the component would be."""

    @functools.wraps(render)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        try:
            return render(*args, **kwargs)
        except Exception:  # here as in app.py: Flet gives a fault in rendering no other way out
            logging.exception("render %s", render.__name__)
            return problem_panel(render.__name__.strip("_").replace("_", " "))

    return ft.component(guarded)
