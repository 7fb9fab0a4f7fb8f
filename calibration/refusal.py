"""The one error that a person may see."""

from __future__ import annotations


class Refusal(ValueError):
    """Input that cannot be used, said in one sentence.

    Args:
        sentence: what is wrong, where, which number, and what to do next.
        field: the name of the input the sentence is about, or None.
        status: the HTTP status that fits it, when it reaches a browser.

    """

    def __init__(self, sentence: str, *, field: str | None = None, status: int = 422) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field
        self.status = status
