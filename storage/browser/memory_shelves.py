"""Shelves in memory, for a browser that refuses to keep anything, and for tests."""

from __future__ import annotations

from storage.browser.shelves import SHELVES, Ask, Document, KeyTaken, Put, Remove


class MemoryShelves:
    """Shelves that last until the process ends."""

    def __init__(self) -> None:
        self.kept: dict[str, dict[str, Document]] = {shelf: {} for shelf in SHELVES}

    async def read(self, *asked: Ask) -> list[list[Document]]:
        return [self._answer(ask) for ask in asked]

    def _answer(self, ask: Ask) -> list[Document]:
        documents = [document for _, document in sorted(self.kept[ask.shelf].items())]
        if ask.only_keys:
            return [Document(document.key, "") for document in documents]
        if ask.key is not None:
            return [document for document in documents if document.key == ask.key]
        if ask.span is not None:
            first, last = ask.span
            held = [document for document in documents if first <= document.at <= last]
            return sorted(held, key=lambda document: document.at)
        return documents

    def close(self) -> None:
        """What is kept stays until the process ends."""

    async def change(self, *changes: Put | Remove) -> None:
        after = {shelf: dict(documents) for shelf, documents in self.kept.items()}
        for change in changes:
            if isinstance(change, Put):
                if change.new and change.document.key in after[change.shelf]:
                    raise KeyTaken
                after[change.shelf][change.document.key] = change.document
            elif change.key is None:
                after[change.shelf].clear()
            else:
                after[change.shelf].pop(change.key, None)
        self.kept = after
