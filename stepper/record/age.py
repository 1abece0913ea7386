"""Encryption of what leaves the machine, by age: to public keys, so that whoever packs need not know any secret.

The only module that knows the library; it is loaded when something is packed or unpacked.
"""

from __future__ import annotations

from collections.abc import Sequence

import pyrage  # type: ignore[import-untyped]  # it comes without types

from stepper.record.problems import Unreadable

KEYS_CAP = 64 * 1024
"""Most bytes of a file of public keys or of a secret one."""

_SECRET = "AGE-SECRET-KEY-"  # what the text of a secret key begins with
_OTHER_KEY = "No matching keys found"


def new_key() -> tuple[str, str]:
    """Make a key pair; gives the text of the file with the secret, and the public key."""
    identity = pyrage.x25519.Identity.generate()
    public = str(identity.to_public())
    remarks = f"# The secret that opens packages of stepper. Keep it in a safe.\n# public key: {public}\n"
    return f"{remarks}{identity}\n", public


def recipients_in(data: bytes, name: str) -> list[str]:
    """Read the public keys out of the bytes of a file, each once; raises `Unreadable`, and repeats no key then."""
    found = []
    for number, line in _lines(data, name):
        if line.upper().startswith(_SECRET):
            raise Unreadable(f"{name}, line {number} is a secret key: it belongs in a safe, only the public one here.")
        try:
            found.append(str(pyrage.x25519.Recipient.from_str(line)))
        except pyrage.RecipientError:
            raise Unreadable(
                f"{name}, line {number} is not a public key of age: age1 and 58 letters and digits are allowed."
            ) from None
    return list(dict.fromkeys(found))


def secrets_in(data: bytes, name: str) -> list[str]:
    """Read the secret keys out of the bytes of a file; raises `Unreadable`, and repeats nothing of them then."""
    found = []
    for number, line in _lines(data, name):
        try:
            pyrage.x25519.Identity.from_str(line)
        except pyrage.IdentityError:
            raise Unreadable(
                f"{name}, line {number} is not a secret key of age: the line that begins with {_SECRET} is needed."
            ) from None
        found.append(line)
    if not found:
        raise Unreadable(f"{name} holds no secret key: the line that begins with {_SECRET} is needed.")
    return found


def encrypt(plain: bytes, public: Sequence[str]) -> bytes:
    """Encrypt to one public key or more."""
    return bytes(pyrage.encrypt(plain, [pyrage.x25519.Recipient.from_str(one) for one in public]))


def decrypt(package: bytes, secret: Sequence[str], name: str) -> bytes:
    """Decrypt with the secret keys there are; raises `Unreadable` where one byte of the package is not as it was."""
    try:
        return bytes(pyrage.decrypt(package, [pyrage.x25519.Identity.from_str(one) for one in secret]))
    except pyrage.DecryptError as error:
        if str(error) == _OTHER_KEY:
            why = "it was packed for another key than this one, or its beginning was changed"
        else:
            why = "it was changed or cut short, or it is no package"
    raise Unreadable(f"{name} cannot be opened: {why}. Nothing of it was taken.")


def _lines(data: bytes, name: str) -> list[tuple[int, str]]:
    """Give the lines that are no remarks, each with its number."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Unreadable(f"{name} is not UTF-8 text.") from None
    lines = [(number, line.strip()) for number, line in enumerate(text.split("\n"), 1)]
    return [(number, line) for number, line in lines if line and not line.startswith("#")]
