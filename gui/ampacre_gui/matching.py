"""How well a few typed letters fit some words: as the letters of an abbreviation do, in order."""

from collections.abc import Iterable

__all__ = ["best_first", "fit"]

_FOLLOWS, _BEGINS, _FIRST = 2.0, 1.5, 1.6
"""What a letter is worth that follows the one before it, begins a word, begins them all."""


def fit(wanted: str, words: str) -> float | None:
    """Tell how well letters fit words, more being better; None where they do not occur in order.

    Letters that stand together or begin words fit best, then the shorter words. No letters fit
    all words alike.
    """
    letters, text = "".join(wanted.casefold().split()), words.casefold()
    if not letters:
        return 0.0
    # the best fit of the letters so far, by the place of the last of them
    best = {-1: 0.0}
    for letter in letters:
        reached: dict[int, float] = {}
        for place, other in enumerate(text):
            if other != letter:
                continue
            ways = [
                worth + (_FOLLOWS if 0 <= before == place - 1 else 0.0)
                for before, worth in best.items()
                if before < place
            ]
            if ways:
                begins = _FIRST if place == 0 else _BEGINS
                starts = place == 0 or not text[place - 1].isalnum()
                reached[place] = max(ways) + (begins if starts else 0.0)
        best = reached
    return max(best.values()) - len(text) / 1000 if best else None


def best_first(wanted: str, all_words: Iterable[str]) -> list[int]:
    """Give the places of the words that fit, the best first; of equals the earlier."""
    fits = [(place, fit(wanted, words)) for place, words in enumerate(all_words)]
    found = [(-worth, place) for place, worth in fits if worth is not None]
    return [place for _, place in sorted(found)]
