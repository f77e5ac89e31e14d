"""Unit words and signs after a figure, past words such as 'fluid', '(av.)', 'good'."""

from __future__ import annotations

from typing import NamedTuple

from histkit.reading.measure import fluid
from histkit.reading.spelling import SPELLED
from histkit.reading.tokens import Token
from histkit.reading.view import View
from histkit.reading.vocabulary import OF, UnitWord, numbers, sign_units, stems, units, word_list

_SIZES, _BEFORE_OF, _OR_ADJECTIVE = word_list("size"), word_list("unit-before-of"), word_list("unit-or-adjective")
_ARTICLES = word_list("article")
_OBJECTS = word_list("vessel") | word_list("tool") | word_list("stuff-of-a-vessel") | word_list("sized-vessel")
_PLURAL = stems("plural-ending")


class Unit(NamedTuple):
    """A printed unit: `after` is the token behind it, `system` what the print says of ounces ("" where it says nothing)."""

    name: str
    factor: float
    after: int
    system: str


def unit_at(view: View, i: int) -> Unit | None:
    """The unit word or sign at token i."""
    system = ""
    by_measure = False
    for _ in range(4):
        if (token := view.token(i)) is None:
            return None
        if token.kind == "open":
            if closes(view, i + 2) and (qualifier := view.phrase(i + 1, "qualifier")):
                system, i = qualifier[0].value or system, view.solid[i + 3]
                continue
            bracketed = units().get(view.words[i + 1])
            if bracketed is not None and i + 2 < len(view.tokens) and closes(view, i + 2):
                return Unit(bracketed.unit, bracketed.factor, i + 3, system)  # 'lycopodium 10 (parts)'
        if token.kind == "sign":
            return _sign(view, i, token)
        if token.kind != "word":
            return None
        if (qualifier := view.phrase(i, "qualifier")) and _goes_on_to_a_unit(view, qualifier[1]):
            by_measure |= qualifier[0].value == "fluid"
            if qualifier[0].value not in ("", "fluid"):
                system = qualifier[0].value
            i = view.solid[qualifier[1]]
            continue
        return _word(view, i, by_measure, system)
    return None


def closes(view: View, i: int) -> bool:
    """Whether a bracket closes at token i, or at the last one where the text ends before that."""
    return view.tokens[min(i, len(view.tokens) - 1)].kind == "close"


def _sign(view: View, i: int, token: Token) -> Unit | None:
    if token.word not in sign_units():
        return None
    following = view.token(i + 1)
    if following is not None and following.start == token.end and following.kind in ("word", "num"):
        return None  # the sign has a figure of its own behind it
    return Unit(sign_units()[token.word], 1.0, i + 1, "apothecaries")


def _holds_something(view: View, i: int) -> bool:
    """Whether 'glass' at token i measures what stands behind it: 'a glass of water', 'one glass cold milk'; not 'a glass jar'."""
    following = view.next_word(i + 1)
    if following in OF:
        return True
    number = view.words[i - 1] in numbers() and view.words[i - 1] not in _ARTICLES
    counted = i > 0 and (number or view.tokens[i - 1].kind == "num")
    behind = view.token(i + 1)
    return counted and behind is not None and behind.kind == "word" and following.isalpha() and following not in _OBJECTS


def _word(view: View, i: int, by_measure: bool, system: str) -> Unit | None:
    word = view.words[i]
    entry = units().get(word) or (_behind_its_size(word) if "-" in word else None)
    if entry is None or (word in _BEFORE_OF and not _holds_something(view, i)):
        return None
    if word in _OR_ADJECTIVE and view.next_word(i + 1).endswith(_PLURAL):
        return None  # 'six gros oignons', but 'deux gros de cannelle'
    unit = fluid(entry.unit) if by_measure else entry.unit
    after = i + 1
    behind = view.phrase(after, "qualifier")
    if behind and behind[0].value in ("avoirdupois", "apothecaries", "imperial"):
        system, after = behind[0].value, behind[1]
    elif behind and behind[0].value == "full":  # 'zwei Eßlöffel voll'
        after = behind[1]
    elif behind and behind[0].value == "fluid" and view.ends_clause(behind[1]):  # '2 ounces fluid.', but '2 oz. fluid extract of'
        system, after = "fluid", behind[1]
    elif after + 2 < len(view.tokens) and view.tokens[after].kind == "open":
        bracketed = view.phrase(after + 1, "qualifier")
        if bracketed and (closing := view.token(bracketed[1])) is not None and closing.kind == "close":
            system, after = bracketed[0].value or system, bracketed[1] + 1
    if system == "fluid":  # '1 oz. (fluid)'
        unit, system = fluid(unit), ""
    return Unit(unit, entry.factor, after, system)


def _behind_its_size(word: str) -> UnitWord | None:
    """'good-handfulls', 'small-spoonful': a unit with a hyphen before it."""
    size, _, last = word.rpartition("-")
    return units().get(SPELLED[last]) if size in _SIZES else None


def _goes_on_to_a_unit(view: View, i: int) -> bool:
    i = view.solid[i]
    return view.words[i] in units() or view.phrase(i, "qualifier") is not None


def whole_unit_word(view: View, i: int) -> bool:
    """Whether a whole unit word or its usual abbreviation stands at token i: none of the single letters."""
    return len(view.words[i]) > 1 and unit_at(view, i) is not None


def begins_clause(view: View, i: int) -> bool:
    """Whether token i is the first of its text, paragraph, sentence or clause."""
    j = i - 1
    while j >= 0 and view.tokens[j].kind in ("gap", "line"):
        j -= 1
    return j < 0 or ends_a_clause(view.tokens[j])


def begins_a_sentence(view: View, i: int) -> bool:
    """Whether a word at token i, behind a stop, has the capital of a new sentence."""
    token = view.token(view.solid[i])
    return token is not None and token.kind == "word" and token.text[:1].isupper()


def ends_a_clause(token: Token) -> bool:
    """Whether a token ends its paragraph, or is a stop or a word with one that is no unit's."""
    return token.kind == "para" or token.text in (".", ";", ":") or (token.dot and token.word not in units())
