"""What a session told, kept for a test to look at."""

from __future__ import annotations

from pennyspeed.desktop.session.messages import Messages


class Heard:
    """What was told, in order."""

    def __init__(self, messages: Messages) -> None:
        self.said: list[str] = []
        self.noted: list[str] = []
        self.troubled: list[str] = []
        messages.said.connect(self.said.append)
        messages.noted.connect(self.noted.append)
        messages.troubled.connect(self.troubled.append)
