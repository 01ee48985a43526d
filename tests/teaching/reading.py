"""Reading level of plain English: the grade of Kincaid and others (1975), with syllables counted by groups of vowels.

Grade = 0.39 words a sentence + 11.8 syllables a word - 15.59 (J. P. Kincaid, R. P. Fishburne, R. L. Rogers,
B. S. Chissom, Derivation of new readability formulas for Navy enlisted personnel, Research Branch Report 8-75, 1975;
from memory). Counting syllables by groups of vowels is rough; the bound in the tests leaves room for that.
"""

from __future__ import annotations

import re

_NUMBER = re.compile(r"[-−]?\d[\d.,/]*\s*(m/s2|km/h|degC|kt|km|m|ft|t|kg|MJ|kN|min|s|bar|psi|%)?(?=[\s.,;:?!)]|$)")


def syllables(word: str) -> int:
    """Return about how many syllables a word has.

    Examples
    --------
    >>> [syllables(one) for one in ("brake", "runway", "deceleration", "the", "stopped")]
    [1, 2, 5, 1, 1]
    """
    word = re.sub(r"[^a-z]", "", word.lower())
    if len(word) <= 3:
        return 1
    word = re.sub(r"(?:[^laeiouy]es|[^td]ed|[^l]e)$", lambda match: match.group()[0], word)
    return max(1, len(re.findall(r"[aeiouy]+", word)))


def grade(text: str) -> float:
    """Return the grade of a text; a number with its unit counts as one short word."""
    text = _NUMBER.sub("ten ", text)
    sentences = [one for one in re.split(r"[.!?:]+(?:\s|$)", text) if re.search("[A-Za-z]", one)]
    words = re.findall(r"[A-Za-z][A-Za-z'-]*", text)
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def longest_sentence(text: str) -> str:
    """Return the sentence with the most words."""
    sentences = re.split(r"[.!?:;]+(?:\s|$)", _NUMBER.sub("ten ", text))
    return max(sentences, key=lambda one: len(one.split()))
