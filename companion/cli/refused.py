"""The one way in which a command says no."""


class Refused(Exception):
    """What was asked cannot be done. The message is one sentence for the person."""
