"""The screens by name."""

from __future__ import annotations

from enum import StrEnum


class Screen(StrEnum):
    cautions = "cautions"
    setup = "setup"
    running = "running"
    hurt = "hurt"
    log = "log"
    week = "week"
    record = "record"
    afterwards = "afterwards"
    kit = "kit"
    plans = "plans"
    plan = "plan"
    adjustment = "adjustment"
    cues = "cues"
    settings = "settings"
    differences = "differences"
    desk = "desk"
    pages = "pages"
