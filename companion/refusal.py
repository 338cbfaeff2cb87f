"""What the command line says when it cannot do what was asked."""


class Refused(Exception):
    """What was asked cannot be answered; the message is one sentence for the person."""
