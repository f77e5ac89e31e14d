"""What the tests of single stages begin with: the view and the wording of a text."""

from histkit.reading.cleaning import clean
from histkit.reading.figures import scanned
from histkit.reading.tokens import tokenise
from histkit.reading.wording import wording_of


def viewed(text):
    return scanned(tokenise(clean(text).text))


def worded(text, latin=False):
    return wording_of(viewed(text), latin)


def printed(wording, piece):
    """The words of a stretch of tokens."""
    return " ".join(token.text for token in wording.tokens[piece[0] : piece[1]] if token.kind == "word")
