"""Components that fail in sight: a fault while a component renders would else freeze the app in silence."""

import functools
import logging
from collections.abc import Callable
from typing import Any

import flet as ft

from companion.views.controls.parts import problem_panel


def safe_component(render: Callable[..., Any]) -> Callable[..., Any]:
    """Use in place of ft.component: a fault while rendering is logged and shown in the component's place."""

    @functools.wraps(render)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        try:
            return render(*args, **kwargs)
        except Exception:  # here as in app.py: Flet gives a fault in rendering no other way out
            logging.exception("render %s", render.__name__)
            return problem_panel(render.__name__.strip("_").replace("_", " "))

    return ft.component(guarded)
