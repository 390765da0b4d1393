"""Secrets that are tried before all others, whatever their length."""

import itertools

LONGEST_UNIT = 4

# The heads of published counts of leaked passwords, where long enough to pass by length alone [memory].
COMMON = frozenset(
    {
        *("112233", "123321", "147258", "159753", "696969", "789456", "11223344", "1q2w3e4r", "1qaz2wsx"),
        *("abc12345", "abcd1234", "asdfghjk", "baseball", "changeme", "football", "iloveyou", "letmein1"),
        *("passw0rd", "password", "password1", "password123", "passwort", "princess", "qwerty123"),
        *("qwertyui", "qwertyuiop", "qwertz123", "qwertzui", "sunshine", "superman", "traveler", "trustno1"),
        *("welcome1", "whatever"),
    }
)


def is_trivial(text: str) -> bool:
    """Whether it is a repetition of up to four characters, a row such as 456789 or hgfedcba, or a common word."""
    folded = text.casefold()
    return _repeats(folded) or _runs(folded) or folded in COMMON


def _repeats(text: str) -> bool:
    units = range(1, min(LONGEST_UNIT, len(text) // 2) + 1)
    return any(text == (text[:unit] * len(text))[: len(text)] for unit in units)


def _runs(text: str) -> bool:
    """Each character follows or precedes its neighbour; after 9 comes 0, as on a keyboard."""
    digits = text.isdecimal()
    steps = {
        (int(after) - int(before)) % 10 if digits else ord(after) - ord(before)
        for before, after in itertools.pairwise(text)
    }
    return steps in ({1}, {9}) if digits else steps in ({1}, {-1})
