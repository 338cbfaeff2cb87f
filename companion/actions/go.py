"""The ways between screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from companion.actions.actions import Actions


class Go:
    """Each attribute is called to show a screen."""

    def __init__(self, do: Actions) -> None:
        self.setup = do.setup.show
        self.afterwards = do.afterwards.show
        self.week = do.week.show
        self.record = do.record.open
        self.kit = do.kit.show
        self.cues = do.cues.show
        self.settings = do.settings.show
        self.plans = do.plans.show
        self.write_plan = do.desk.write_plan
        self.go_on_writing = do.desk.go_on_writing
        self.pages = do.pages.show
