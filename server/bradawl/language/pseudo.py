"""The pseudo-locale: every letter of a catalogue text becomes a marked one that still reads."""

from __future__ import annotations

from typing import cast

from fluent.syntax import FluentParser, FluentSerializer, ast, visitor

PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
MARKED = "áƀčďéƒğĥíĵķłḿńóþɋŕšťúṽŵẋýžÁƁČĎÉƑĞĤÍĴĶŁṀŃÓÞɊŔŠŤÚṼŴẊÝŽ"
_MARKS = str.maketrans(PLAIN, MARKED)


def marked(text: str) -> str:
    """`Fuel hose` as `Ƒúéł ĥóšé`."""
    return text.translate(_MARKS)


class _Marker(visitor.Transformer):
    def visit_TextElement(self, node: ast.TextElement) -> ast.TextElement:  # noqa: N802 - the library calls it by this name
        node.value = marked(node.value)
        return node


def marked_source(source: str) -> str:
    """A whole catalogue file with its texts marked; ids, arguments and comments stay."""
    tree = _Marker().visit(FluentParser().parse(source))
    return FluentSerializer().serialize(cast("ast.Resource", tree))
