"""The practice's keys: who signs, by which public key; each secret key in a file of its own, under a passphrase.

`keys.toml` is the list that signatures are checked against. Whoever can write it can put in a key of their own, so a
copy of it belongs elsewhere; a public key is no secret.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import msgspec
import tomli
import tomli_w

from stepper.record.places import SECRETS
from stepper.record.problems import NotSaved, Unreadable
from stepper.record.system import Os, make_folder
from stepper.record.whole import replace_whole

LIST = "keys.toml"
LEAST_PASSPHRASE = 8
"""Characters that a passphrase has at least."""


class Key(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A person's public key, in hex, and the day on which it was made. `id` is the beginning of the key's SHA-256."""

    id: str
    person: int
    name: str
    initials: str
    public: str
    made: str


class KeyList(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of them; older ones of a person stay, for what was signed with them."""

    key: tuple[Key, ...] = ()

    def by_id(self, key: str) -> Key | None:
        """Give the key of an id."""
        return next((one for one in self.key if one.id == key), None)

    def of(self, person: int) -> Key | None:
        """Give a person's newest key."""
        return next((one for one in reversed(self.key) if one.person == person), None)


def read_keys(data: Path) -> KeyList:
    """Read the list in the data folder; where there is none, nobody has a key. Raises `Unreadable`."""
    path = data / LIST
    try:
        content = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return KeyList()
    except (OSError, UnicodeDecodeError) as error:
        raise Unreadable(
            f"{LIST}: cannot be read: {getattr(error, 'strerror', None) or 'it is not UTF-8 text'}."
        ) from None
    try:
        found = msgspec.convert(tomli.loads(content), KeyList)
    except (ValueError, RecursionError) as error:
        raise Unreadable(f"{LIST}: is not a list of keys: {error}.".replace("\n", " ")) from None
    wrong = next((one for one in found.key if one.id != key_id(one.public)), None)
    if wrong is not None:
        raise Unreadable(f"{LIST}: the key {wrong.id!a:.40} is not the one that its name says.")
    return found


def key_id(public: str) -> str:
    """Give the name of a public key."""
    return hashlib.sha256(public.encode()).hexdigest()[:16]


def new_key(data: Path, person: int, name: str, initials: str, passphrase: str, made: str) -> Key:
    """Make a key pair: the secret one into a file under the passphrase, the public one into the list.

    Raises `NotSaved` or `Unreadable`; nothing is left behind then.
    """
    from cryptography.hazmat.primitives import serialization as to
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    secret = Ed25519PrivateKey.generate()
    public = secret.public_key().public_bytes(to.Encoding.Raw, to.PublicFormat.Raw).hex()
    key = Key(key_id(public), person, name, initials, public, made)
    known = read_keys(data)
    sealed = secret.private_bytes(
        to.Encoding.PEM, to.PrivateFormat.PKCS8, to.BestAvailableEncryption(passphrase.encode())
    )
    make_folder(data / SECRETS, Os())
    _write(secret_path(data, key), sealed)
    _write(data / LIST, tomli_w.dumps(msgspec.to_builtins(KeyList((*known.key, key)))).encode())
    return key


def secret_path(data: Path, key: Key) -> Path:
    """Give the file of a secret key."""
    return data / SECRETS / f"{key.id}.pem"


def sign(data: Path, key: Key, passphrase: str, text: bytes) -> str:
    """Sign a text and give the signature in hex. Raises `Unreadable` where the passphrase or the file is wrong."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        secret = load_pem_private_key(secret_path(data, key).read_bytes(), passphrase.encode())
    except OSError as error:
        raise Unreadable(f"The key of person {key.person} cannot be read: {error.strerror}.") from None
    except (ValueError, TypeError):
        raise Unreadable(f"This is not the passphrase of person {key.person}; nothing was signed.") from None
    if not isinstance(secret, Ed25519PrivateKey):
        raise Unreadable(f"The key file of person {key.person} holds another sort of key.")
    return secret.sign(text).hex()


def is_signed(public: str, signature: str, text: bytes) -> bool:
    """Tell whether a signature of a text was made with the secret key of a public one, both in hex."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(public)).verify(bytes.fromhex(signature), text)
    except (InvalidSignature, ValueError):
        return False
    return True


def _write(path: Path, content: bytes) -> None:
    try:
        replace_whole(path, content, Os())
    except OSError as error:
        raise NotSaved(f"{path.name}: cannot be written: {error.strerror}.") from None
