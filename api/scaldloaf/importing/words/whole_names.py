"""Names of ingredients found as they are written, with their commas, parentheses and numbers."""

from typing import TypeAlias

from scaldloaf.importing.words.text import Token, clean, cut, tokenise
from scaldloaf.importing.words.vocabulary import whole_name
from scaldloaf.reference import INGREDIENTS

Spelt: TypeAlias = "str | tuple[Spelt, ...]"  # as tokens are compared; a tuple for what is in parentheses


def _spelt(token: Token) -> Spelt:
    """A token as it is compared."""
    return tuple(map(_spelt, token.inside)) if token.kind == "g" else token.text.casefold()


def _written() -> dict[str, list[tuple[list[Spelt], str]]]:
    """First word of names that are more than words -> how each goes on, longest first, and what it names."""
    found: dict[str, list[tuple[list[Spelt], str]]] = {}
    for row in INGREDIENTS.values():
        for spelling in (spelling for spellings in row.names.values() for spelling in spellings):
            if all(letter.isalpha() or letter in " -'" for letter in spelling):
                continue
            tokens = tokenise(cut(clean(spelling)))
            rest = list(map(_spelt, tokens[1:]))
            for start in dict.fromkeys((tokens[0].text, tokens[0].text.casefold())):
                found.setdefault(start, []).append((rest, whole_name(row)))
    for names in found.values():
        names.sort(key=lambda name: len(name[0]), reverse=True)
    return found


_WRITTEN = _written()


def with_whole_names(tokens: list[Token]) -> list[Token]:
    """The tokens, each run that is a name as it is written as one word."""
    if _WRITTEN.keys().isdisjoint([token.text for token in tokens]):
        return tokens
    spelt = list(map(_spelt, tokens))
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        for rest, name in _WRITTEN.get(tokens[at].text, ()):
            end = at + 1 + len(rest)
            if rest == spelt[at + 1 : end]:
                found.append(Token("w", name, name))
                at = end
                break
        else:
            found.append(tokens[at])
            at += 1
    return found
