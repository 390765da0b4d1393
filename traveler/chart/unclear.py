"""What a file leaves open is asked, never guessed."""

from traveler.chart.model import Question
from traveler.errors import TravelerError


class Unclear(TravelerError):
    """The file can be read in more than one way. ``question`` names the field of ``Told`` that settles it."""

    def __init__(self, question: Question) -> None:
        super().__init__(question.sentence)
        self.question = question
