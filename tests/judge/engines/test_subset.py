"""The check of the judge's sources refuses every difference it names, and the sources pass it."""

from __future__ import annotations

import pytest

from tests.judge.engines.subset import findings, main


def test_the_judges_sources_keep_to_what_both_engines_have() -> None:
    assert main() == 0


@pytest.mark.parametrize(
    "source",
    [
        "import dataclasses",
        "import json, re",
        "from math import exp",
        "from typing import NamedTuple",
        "from ..values.types import Json",
        "match x:\n    case 1: pass",
        "def f(a, /): pass",
        "x = [*a, 1]",
        "x = {**a}",
        "f(**a)",
        "x.zfill(3)",
        "x.removeprefix('a')",
        "x.casefold()",
        "x.upper()",
        "x.isdigit()",
        "x.strip()",
        "x.split()",
        "for k, v in d.items(): pass",
        "x = list(d.values())",
        "for x in set(a): pass",
        "x = [y for y in {1, 2}]",
        "d.popitem()",
        "x = round(y, 2)",
        "x = sum(y)",
        "x = y ** 0.5",
        "x **= 2",
        "x = '%.1f' % y",
        "x = 'about %5.2f mm' % y",
        "x = '%r' % y",
        "x = f'{y:.2f}'",
        "x = f'{y!r}'",
        "x = sorted(y, key=f)",
        "y.sort(key=f)",
        "x = min(y, default=0)",
        "x = zip(a, b, strict=True)",
        "x = json.dumps(y, sort_keys=True)",
        "x = float('nan')",
        "x = hash(y)",
        "print(x)",
        "@f\ndef g():\n    pass",
        "class A(B, C): pass",
        "class A(metaclass=B): pass",
        "async def f(): pass",
        "x = 1j",
        "def f(x): return isinstance(x, int)",
        "def f(x): return isinstance(x, (str, int))",
    ],
)
def test_what_an_engine_lacks_is_refused_with_its_line(source: str) -> None:
    found = findings("\n" + source)
    assert found, source
    assert found[0][0] in (2, 3)  # a decorated function begins at its `def`


@pytest.mark.parametrize(
    "source",
    [
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from ..values.types import Json",
        "from math import sqrt, floor",
        "import json",
        "def f(x): return x is not True and x is not False and isinstance(x, int)",
        "x = '%s, 5 %%, %d' % (y, z)",
        "x = 10 ** n",
        "for k in sorted(d.items()): pass",
        "x = ascii_text.upper(y)",
        "x = y.strip(' ').rstrip('.')",
        "a, *b = c",
        "x = f'{y} mm'",
    ],
)
def test_what_both_engines_have_is_let_through(source: str) -> None:
    assert findings(source) == []
