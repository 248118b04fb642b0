"""Errors of the engine: each one is a plain sentence for a person."""


class EngineError(Exception):
    """Anything the engine refuses; its text is one sentence that says how to mend."""


class InputError(EngineError, ValueError):
    """An input that is missing, unreadable or outside its valid range.

    Parameters
    ----------
    text : str
        What is wrong, where, and how to mend it.
    input : str
        Name of the input, empty where there is none.
    low, high : float or None
        Valid range in SI, where a range was missed.
    """

    def __init__(
        self,
        text: str,
        *,
        input: str = "",  # noqa: A002  (the contract's word)
        low: float | None = None,
        high: float | None = None,
    ) -> None:
        super().__init__(text)
        self.text = text
        self.input = input
        self.low = low
        self.high = high


class NoConvergenceError(EngineError):
    """A solver did not settle; the text says on what."""
