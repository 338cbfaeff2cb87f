"""A problem report for whoever looks after the app: what runs here and what failed last, and nothing of the
person."""

from __future__ import annotations

from companion.actions.context import Context
from companion.services.faults import KEEPER
from companion.services.problem_report import device_words, report_text


class Report:
    def __init__(self, context: Context) -> None:
        self._context = context

    def show(self, client: str) -> None:
        """Writes the report and shows it; ``client`` is how browser or window names itself."""
        context, device = self._context, self._context.state.device
        able = device_words(context.cues.capabilities)
        device.report = report_text(context.now(), client, able, device.settings, KEEPER.faults)
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves the report as it is shown."""
        context = self._context
        name = f"problem-report-{context.now().date().isoformat()}.txt"
        await context.files.save(name, context.state.device.report.encode())

    def put_away(self) -> None:
        self._context.state.device.report = ""
        self._context.state.on_change()
