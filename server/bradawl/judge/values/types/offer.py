"""What is said and looked up of a car that is offered, and what the judge makes of it."""

from typing import Literal, NotRequired, TypedDict

from .said import Said, SaidArgument

ClaimStanding = Literal["claimed", "seen", "proven", "false"]
LookupResult = Literal["bad", "not_found", "good"]
Teller = Literal["ad", "seller", "owner", "shop", "other"]


class ClaimJudgment(TypedDict):
    """What somebody says of the car, and what became of it.

    `kind` is of the checklist, "" for a claim in words alone. `items` are the checks that tell;
    `item` is the one that speaks against it ("" for none). `standing` is what a person said, but
    never proven without a photo; `suggests` is what the checks say where that is another.
    """

    id: str
    kind: str
    title: SaidArgument
    who: Teller
    standing: ClaimStanding
    suggests: NotRequired[Literal["seen", "false"]]
    items: list[str]
    item: str
    said: Said


class LookupJudgment(TypedDict):
    """A look-up and what it still tells: `stands` while none of its kind is later.

    `stops`: cleared up before anything is paid. `old` says that it is to be looked up again.
    """

    id: str
    kind: str
    result: LookupResult
    date: str
    stands: bool
    stops: bool
    old: NotRequired[Said]


class SpottedClaim(TypedDict):
    """A claim of the checklist that the words of an ad seem to make, and these words."""

    kind: str
    words: str


class LoadLine(TypedDict):
    """A line of the load list: a tool of checks by its name, or a row of `checklists/load.yaml`.

    `because` says what put it there; `items` are the open checks that need it; `state` is "packed",
    "left" at home, or "" while nobody has said.
    """

    id: str
    tool: bool
    because: list[Said]
    items: list[str]
    state: Literal["packed", "left", ""]


class HaulCheck(TypedDict):
    """One figure or fact of the haul plan against what it must meet; `missing` is never fine."""

    id: str
    state: Literal["fine", "over", "missing"]
    said: Said
    source: str


class HaulPlan(TypedDict):
    """The haul plan: fine only where nothing is over and nothing is missing."""

    answer: Literal["fine", "over", "missing"]
    checks: list[HaulCheck]
