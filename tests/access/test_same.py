"""How long an answer takes tells nothing about a secret."""

from __future__ import annotations

import ast
import hmac
from collections.abc import Iterator
from pathlib import Path

import pytest

from bradawl.access.core import tokens
from bradawl.access.people import passphrases
from tests.access.conftest import PASSPHRASE, VISIT, Server

ACCESS = Path(tokens.__file__).parent
#: Names that hold a secret as it was sent, or what a secret was hashed to.
#: Both sides come from the one person who types them.
TYPED_TWICE = {"passphrase != again"}
SECRET = {"token", "secret", "code", "key", "passphrase", "given", "token_hash", "secret_hash"}


def test_texts_are_compared_by_the_librarys_constant_time_function(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[tuple[bytes, bytes]] = []
    real = hmac.compare_digest

    def noted(one: bytes, other: bytes) -> bool:
        asked.append((one, other))
        return real(one, other)

    monkeypatch.setattr(hmac, "compare_digest", noted)
    assert tokens.same("abc", "abc")
    assert not tokens.same("abc", "abd")
    assert len(asked) == 2


def comparisons(tree: ast.AST) -> Iterator[ast.Compare]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.Eq | ast.NotEq):
            yield node


def test_no_secret_is_compared_with_an_equals_sign() -> None:
    """What the database compares are SHA-256 hashes of 256-bit tokens, which nobody can steer."""
    found = []
    for file in sorted(ACCESS.glob("*.py")):
        for node in comparisons(ast.parse(file.read_text())):
            sides = [node.left, *node.comparators]
            names = {
                one.id if isinstance(one, ast.Name) else one.attr
                for one in sides
                if isinstance(one, ast.Name | ast.Attribute)
            }
            in_sql = any(
                (
                    isinstance(one, ast.Call)
                    and isinstance(one.func, ast.Name)
                    and one.func.id == "col"
                )
                or (isinstance(one, ast.Attribute) and ast.unparse(one.value).endswith("Row"))
                for one in sides
            )
            if names & SECRET and not in_sql and ast.unparse(node) not in TYPED_TWICE:
                found.append(f"{file.name}:{node.lineno}: {ast.unparse(node)}")
    assert found == []


@pytest.mark.parametrize("name", ["Ada", "Nobody"])
def test_an_unknown_name_costs_the_same_one_hash(
    server: Server, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    server.desk()
    asked: list[str] = []
    real = passphrases.matches

    def noted(passphrase: str, kept: str) -> bool:
        asked.append(kept)
        return real(passphrase, kept)

    monkeypatch.setattr(passphrases, "matches", noted)
    server.client().post("/desk/sign-in", data={"name": name, "passphrase": "wrong as can be"})
    assert len(asked) == 1
    verified: list[str] = []
    monkeypatch.setattr(
        passphrases._hasher.__class__,
        "verify",
        lambda self, hashed, given: verified.append(hashed) or False,
    )
    real("wrong as can be", asked[0])
    assert len(verified) == 1


def test_an_unknown_link_is_compared_too(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    link = server.access.links.make(VISIT, "condition", "buyer", 7)
    asked: list[str] = []
    real = tokens.same

    def noted(one: str, other: str) -> bool:
        asked.append(other)
        return real(one, other)

    monkeypatch.setattr(tokens, "same", noted)
    for one in (link.id, "f" * 32):
        assert server.access.links.open(one, PASSPHRASE) is None
    assert len(asked) == 2
