"""What a person proves with that it is they who sign: how it may look, and how it is kept.

Kept is only a hash by scrypt (RFC 7914) with a random salt a person, at the cost that the OWASP Password Storage
Cheat Sheet publishes for scrypt: N = 2^17, r = 8, p = 1, so 128 MiB a try [seen]. The cost stands in each
row, so a later program may raise it for new hashes and still check the old ones.
"""

import hashlib
import hmac
import os
import re
import unicodedata
from dataclasses import dataclass, field
from typing import Literal, NoReturn

from traveler.errors import BadInput, TravelerError
from traveler.record.chain import CODE_BITS, code, letters_of
from traveler.record.trivial import is_trivial

Kind = Literal["signing", "recovery"]

SHORTEST_DIGITS = 6
SHORTEST = 8
LONGEST = 256
SALT_BYTES = 16
HASH_BYTES = 32
LARGEST_MEMORY = 1024**3  # a row that was altered must not take the machine's memory

_SCHEME = re.compile(r"scrypt ln=([1-9][0-9]?) r=([1-9][0-9]?) p=([1-9][0-9]?)")


class Secret:
    """A secret as it was typed, in Unicode form NFC and not trimmed, so that no traceback or log can show it.

    Wrap it where it is typed, and leave no plain copy in a variable: a crash report may print those.
    """

    __slots__ = ("_text",)

    def __init__(self, text: str) -> None:
        self._text = unicodedata.normalize("NFC", text)

    def __repr__(self) -> str:
        return "Secret(...)"

    def __reduce__(self) -> NoReturn:
        raise TypeError("a secret is not written anywhere")

    def reveal(self) -> str:
        """The text itself, to show a new recovery code once."""
        return self._text

    def weakness(self) -> str | None:
        """Why it may not become a person's secret, in words that do not quote it; None where it may."""
        digits_only = self._text.isdecimal()
        if len(self._text) < (SHORTEST_DIGITS if digits_only else SHORTEST):
            return f"too short; expected {SHORTEST_DIGITS} digits or more, or {SHORTEST} characters or more"
        if len(self._text) > LONGEST:
            return f"too long; expected at most {LONGEST} characters"
        if any(unicodedata.category(char) in {"Cc", "Cs"} for char in self._text):
            return "not one that can be typed again: it holds a control character or half a character"
        if is_trivial(self._text):
            return "one of the first that anybody tries: a row, a repetition or a common word"
        return None

    def _bytes(self) -> bytes:
        # The error of a strict encoding would carry the whole text.
        return self._text.encode("utf-8", "surrogatepass")


@dataclass(frozen=True, slots=True)
class Scheme:
    """Cost of one scrypt: N = 2 ** ``log2_n``, ``r``, ``p``; memory is 128 N r bytes."""

    log2_n: int
    r: int
    p: int

    def __str__(self) -> str:
        return f"scrypt ln={self.log2_n} r={self.r} p={self.p}"

    @property
    def memory(self) -> int:
        """Bytes that one hash takes."""
        return 128 * self.r * ((1 << self.log2_n) + self.p + 2)

    @property
    def cost(self) -> int:
        """Grows with the work of one try."""
        return (1 << self.log2_n) * self.r * self.p


USUAL = Scheme(log2_n=17, r=8, p=1)


@dataclass(frozen=True, slots=True)
class Verifier:
    """What is kept of a secret: how it was hashed, the salt and the hash."""

    scheme: str
    salt: bytes = field(repr=False)
    hash: bytes = field(repr=False)

    @property
    def commitment(self) -> str:
        """SHA-256 over scheme, line feed, salt and hash, in hex: says which row it was and tells nothing of it."""
        return hashlib.sha256(f"{self.scheme}\n".encode() + self.salt + self.hash).hexdigest()

    @property
    def outdated(self) -> bool:
        """Whether it was hashed at less cost than this program spends."""
        return _scheme(self.scheme).cost < USUAL.cost

    def matches(self, secret: Secret) -> bool:
        """Whether ``secret`` is the one that was hashed; takes as long as a hash."""
        return hmac.compare_digest(_hash(secret, self.salt, _scheme(self.scheme)), self.hash)


def new_verifier(secret: Secret) -> Verifier:
    """Hash a secret that a person has chosen; BadInput, without a word of it, where it is too weak.

    Slow on purpose (0.4 s): call it before a write, never inside.
    """
    weakness = secret.weakness()
    if weakness is not None:
        raise BadInput(f"this secret is {weakness}")
    return hashed(secret)


def new_recovery_code() -> tuple[Secret, Verifier]:
    """A random code of 80 bits in base32, in fours, to be shown once and written down; and what is kept of it."""
    shown = Secret(code(os.urandom(CODE_BITS // 8)))
    return shown, hashed(shown)


def recovery_code(typed: str) -> Secret:
    """A recovery code as typed: case, spaces and dashes do not matter, nor 0 for O, 1 for I or 8 for B."""
    letters = letters_of(typed)
    return Secret("-".join(letters[at : at + 4] for at in range(0, len(letters), 4)))


def hashed(secret: Secret) -> Verifier:
    """Hash any secret with a new salt at the usual cost."""
    salt = os.urandom(SALT_BYTES)
    return Verifier(str(USUAL), salt, _hash(secret, salt, USUAL))


def _hash(secret: Secret, salt: bytes, scheme: Scheme) -> bytes:
    try:
        return hashlib.scrypt(
            secret._bytes(),
            salt=salt,
            n=1 << scheme.log2_n,
            r=scheme.r,
            p=scheme.p,
            maxmem=scheme.memory + 1024 * 1024,
            dklen=HASH_BYTES,
        )
    except (MemoryError, ValueError):
        raise TravelerError(
            f"a secret cannot be checked here: it takes {scheme.memory // 2**20} MiB of memory, which this "
            "machine did not give."
        ) from None


def _scheme(text: str) -> Scheme:
    found = _SCHEME.fullmatch(text)
    scheme = Scheme(int(found[1]), int(found[2]), int(found[3])) if found else None
    if scheme is None or scheme.memory > LARGEST_MEMORY:
        raise TravelerError(f'a secret was hashed by "{text}", which this program does not know.')
    return scheme
