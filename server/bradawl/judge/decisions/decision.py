"""The four answers: may I buy it, may I drive it, my top price and why, what do I do now.

Every page says them in the same words; each clause names the item that proves it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact
from ..values.saying import alone, grade, said, title
from . import claims, lookups, wants
from . import effects as consequences
from .drive_home import named_items

if TYPE_CHECKING:
    from ..grading.combinations import Judged
    from ..values.types import (
        BuyAnswer,
        ClaimJudgment,
        Clause,
        DriveHome,
        EffectKind,
        Exact,
        FourAnswers,
        Grade,
        HistoryJudgment,
        LookupJudgment,
        Money,
        NextChecks,
        OpenQuestion,
        Question,
        Rules,
        Said,
        SaidArgument,
        SaidMoney,
        WantJudgment,
    )

#: Facts that the paragraph names before it says how many more there are.
MOST_FACTS = 3
#: Repairs of no more than this share of the asking price are no reason to bargain; assumption.
TRIFLE_PERCENT = 2

#: The kind of a remedy that is no work on the car.
PAPER = "paper"
#: The answer that says that somebody could have looked it up and did not.
NOT_LOOKED_UP = "unchecked"
#: A history that leaves more than this is told by what it left behind.
_LITTLE_LOST: Exact = (9, 10)
_DEAL: tuple[EffectKind, ...] = ("stops_deal", "ends_deal")

# The gravest first: what a finding does, and how the answer to "may I buy it" says so.
_AGAINST_BUYING: tuple[tuple[EffectKind, str], ...] = (
    ("ends_deal", "buy-ends"),
    ("stops_deal", "buy-stops"),
    ("lowers_value", "buy-lowers"),
)


def four_answers(
    order: list[str],
    judged: Judged,
    effects: consequences.Effects,
    drive: DriveHome,
    money: Money,
    checks: NextChecks,
    questions: list[OpenQuestion],
    hidden: list[HistoryJudgment],
    claimed: list[ClaimJudgment],
    looked: list[LookupJudgment],
    hopes: list[WantJudgment],
    rules: Rules,
) -> FourAnswers:
    """What a friend who knows cars would say, from what the other parts of the judge found."""
    overruled = _overruled(order, judged)
    doubts, unsettled = _doubts(order, judged), _unsettled_deal(order, judged, rules)
    asked = [_question(question) for question in questions] + doubts + _disputes(order, judged)
    grave = [i for i in order if judged.items[i]["grade"] in ("major", "dangerous")]
    papers = lookups.told(looked)
    facts = papers + _against_buying(effects, judged)
    # who said what is not so may have said more of it
    suspected = claims.told(claimed, judged) + _suspected(
        hidden, [clause["item"] for clause in facts], rules
    )
    leave, lacks = wants.told(hopes, "leave"), wants.told(hopes, "must")
    is_sure = not (asked or unsettled or overruled or grave or suspected or papers)
    is_sure = is_sure and not (leave or lacks)
    buy = _buy_answer(effects, money, drive, is_sure, [row for row in looked if row["stops"]])
    answers: dict[Question, list[Clause]] = {
        "buy": [_buy(buy, effects, money)] + leave + facts + suspected + lacks,
        "drive": [_clause("drive-" + drive["answer"].replace("_", "-"))] + _drive_facts(drive),
        "price": _price(money, judged),
        "now": _now(buy, drive, money, checks, asked, unsettled, effects),
    }
    if buy != "walk":
        answers["now"] = lookups.steps(looked) + answers["now"]
    # the sentence of the drive says its limits; what is unsafe follows as facts of its own
    if drive["answer"] == "limits" or (drive["answer"] == "drive" and drive["said"].get("then")):
        answers["drive"][0] = {"said": drive["said"], "item": ""}
    return {
        "buy": buy,
        "drive": drive["answer"],
        "answers": answers,
        # what one has said to leave for stands above all
        "spoken": _few(leave)
        + _spoken(buy, answers, facts, suspected, overruled, judged, drive, money, effects),
        "overruled": overruled,
    }


def _clause(name: str, args: dict[str, SaidArgument] | None = None, item: str = "") -> Clause:
    return {"said": said(name, args), "item": item}


def _buy_answer(
    effects: consequences.Effects,
    money: Money,
    drive: DriveHome,
    is_sure: bool,
    stopped: list[LookupJudgment],
) -> BuyAnswer:
    """`is_sure`: nothing is grave, suspected, asked, overruled, or left to look up."""
    price = money["price"]
    top, asking = price["walk_away"], price["asking"]
    bound = price.get("bound")
    if effects.items("ends_deal") or bound == 0:
        return "walk"
    if effects.items("stops_deal") or stopped:
        return "not_until"
    if top is None:
        return "too_little"
    if top <= 0:
        return "walk"
    repairs = money["totals"]["expected"]
    trifle = asking is not None and repairs * 100 <= asking * TRIFLE_PERCENT
    is_plain = trifle and is_sure and drive["answer"] in ("drive", "limits")
    if effects.items("lowers_value") or asking is None or top < asking:
        is_plain = False
    return "buy" if is_plain else "up_to"


def _buy(buy: BuyAnswer, effects: consequences.Effects, money: Money) -> Clause:
    price = money["price"]
    top = price["walk_away"]
    if buy == "too_little" and price["value"] is None:
        return _clause("buy-no-value")
    if buy == "up_to" and top is not None:
        return _clause("buy-up-to", {"top": _money(top, money)})
    if buy == "walk" and not effects.items("ends_deal"):
        return _clause("buy-walk-price")
    return _clause("buy-" + buy.replace("_", "-"))


def _money(amount: int, money: Money) -> SaidMoney:
    return {"money": amount, "currency": money["currency"]}


def _fact(name: str, item: str, judged: Judged) -> Clause:
    """An item and why it is what it is."""
    args: dict[str, SaidArgument] = {"item": title("item", item)}
    reasons = judged.items[item]["reasons"]
    if len(reasons) > 1 and reasons[0]["code"] == "overruled":
        reasons = reasons[1:]  # what was measured, not who called it milder
    if not reasons:
        return _clause(name, args, item)
    args["why"] = {"said": alone(reasons[0]["said"])}
    return _clause(name + "-why", args, item)


def _against_buying(effects: consequences.Effects, judged: Judged) -> list[Clause]:
    clauses: list[Clause] = []
    for kind, name in _AGAINST_BUYING:
        for item in effects.items(kind):
            if item not in [clause["item"] for clause in clauses]:
                clauses.append(_fact(name, item, judged))
    return clauses


def _drive_facts(drive: DriveHome) -> list[Clause]:
    return [{"said": reason["said"], "item": reason["item"]} for reason in drive["reasons"]]


def _overruled(order: list[str], judged: Judged) -> list[Clause]:
    """The measured faults that a person graded milder, the dangers first, with the reason given."""
    clauses: list[Clause] = []
    for measured in ("dangerous", "major"):
        for item in order:
            judgment = judged.items[item]
            if judgment["measured"] != measured or not consequences.is_overruled(judgment):
                continue
            args: dict[str, SaidArgument] = {"item": title("item", item)}
            args["measured"], args["given"] = grade(measured), grade(judgment["grade"])
            why = (judgment["reasons"][0]["said"].get("args") or {}).get("why")
            if why is not None:
                args["why"] = why
            name = "overruled" if why is None else "overruled-why"
            clauses.append(_clause(name, args, item))
    return clauses


def _doubts(order: list[str], judged: Judged) -> list[Clause]:
    """The readings of which nobody has said which of two meanings they have."""
    return [
        {"said": problem["said"], "item": item}
        for item in order
        for problem in judged.items[item]["problems"]
        if problem["code"] == "doubt"
    ]


def _suspected(hidden: list[HistoryJudgment], told: list[str], rules: Rules) -> list[Clause]:
    """What may have happened to it and takes a good part of its worth, by the signs for it.

    Not what an item that is `told` has said already.
    """
    grave = {}
    for history in rules.get("histories") or []:
        factor = exact.figure(history["factor"])
        grave[history["id"]] = factor is not None and not exact.less(_LITTLE_LOST, factor)
    clauses: list[Clause] = []
    for row in hidden:
        signs = [sign["item"] for sign in row["speak_for"]]
        # one sign alone accuses nobody
        if not grave.get(row["id"]) or len(signs) < 2 or [i for i in signs if i in told]:
            continue
        if row["standing"] in ("suspected", "likely", "strong"):
            args: dict[str, SaidArgument] = {"title": title("history", row["id"])}
            args["signs"] = named_items(signs)
            clauses.append(_clause("signs-" + row["standing"], args, signs[0]))
    return clauses


def _question(question: OpenQuestion) -> Clause:
    """What is asked; a question within one check is said with its name."""
    item = question["items"][0]
    if not question["said"]["id"].startswith("judge-problem-"):
        return {"said": question["said"], "item": item}
    args: dict[str, SaidArgument] = {"item": title("item", item)}
    args["question"] = {"said": question["said"]}
    return _clause("now-ask", args, item)


def _disputes(order: list[str], judged: Judged) -> list[Clause]:
    """What two people answered differently: the worse counts until they look again."""
    return [
        _clause("now-settle", {"item": title("item", item)}, item)
        for item in order
        if judged.items[item]["conflict"]
    ]


def _unsettled_deal(order: list[str], judged: Judged, rules: Rules) -> list[str]:
    """What nobody looked at or looked up, and may stop or end the deal."""
    return [
        item
        for item in order
        if [e for e in rules["items"][item].get("effects") or [] if e["does"] in _DEAL]
        and (judged.items[item]["state"] != "done" or NOT_LOOKED_UP in judged.choices.get(item, []))
    ]


def _price(money: Money, judged: Judged) -> list[Clause]:
    """The top price, and what it is made of: the dearest repairs first."""
    clauses: list[Clause] = [{"said": alone(money["price"]["said"]), "item": ""}]
    for further in money["price"]["said"].get("then") or []:
        clauses.append({"said": further, "item": ""})
    for argument in money["price"]["arguments"]:
        item = argument["item"] if argument["item"] in judged.items else ""
        clauses.append({"said": argument["said"], "item": item})
    return clauses


def _now(
    buy: BuyAnswer,
    drive: DriveHome,
    money: Money,
    checks: NextChecks,
    asked: list[Clause],
    unsettled: list[str],
    effects: consequences.Effects,
) -> list[Clause]:
    """What to do, the next step first."""
    if buy == "walk":
        return [_clause("now-walk")]
    steps = list(asked)
    for item in effects.items("stops_deal"):
        steps.append(_clause("now-clear", {"item": title("item", item)}, item))
    to_check = [check["item"] for check in checks["items"]]
    if to_check and (buy == "too_little" or drive["answer"] == "not_cleared"):
        item = to_check[0]
        steps.append(_clause("now-check", {"item": title("item", item)}, item))
    elif drive["answer"] == "not_cleared" and not asked:
        steps.append(_clause("now-trailer"))
    opening = money["price"]["opening"]
    if buy in ("buy", "up_to") and opening is not None:
        if unsettled:
            named = {"items": named_items(unsettled)}
            steps.append(_clause("now-look-up", named, unsettled[0]))
        steps.append(_offer(buy, opening, money))
    if buy == "too_little" and money["price"]["value"] is None:
        steps.append(_clause("now-value"))
    if drive["answer"] == "trailer" and buy != "not_until":
        steps.append(_clause("now-trailer"))
    return steps


def _offer(buy: BuyAnswer, opening: int, money: Money) -> Clause:
    """What to say to the seller: a price, or what a friend says instead of "nothing"."""
    asking = money["price"]["asking"]
    if asking == 0:
        return _clause("now-free")
    if opening == 0:
        return _clause("now-little")
    name = "now-pay" if buy == "buy" and opening == asking else "now-offer"
    return _clause(name, {"opening": _money(opening, money)})


def _spoken(
    buy: BuyAnswer,
    answers: dict[Question, list[Clause]],
    facts: list[Clause],
    suspected: list[Clause],
    overruled: list[Clause],
    judged: Judged,
    drive: DriveHome,
    money: Money,
    effects: consequences.Effects,
) -> list[Clause]:
    """The same as one paragraph, the worst first: what speaks against buying, the drive, money.

    What only lowers the value comes after what is unsafe. Whoever walks away hears nothing of the
    drive, and nobody is told to drive home what may not be bought yet.
    """
    deal = effects.items("ends_deal") + effects.items("stops_deal")
    named = [clause["item"] for clause in overruled]
    stops = [c for c in facts if c["item"] in deal and c["item"] not in named]
    named += [clause["item"] for clause in stops]
    lies = {c["item"]: c for c in suspected if c["said"]["id"] == "judge-claim-lie-by"}
    unsafe: list[Clause] = []
    raised: list[Said] = []
    for reason in drive["reasons"]:
        item = reason["item"]
        if not reason["seen"] or item in named:
            continue
        named.append(item)
        first = [r["said"] for r in judged.items[item]["reasons"][:1] if r["code"] == "combination"]
        if not [one for one in first if one in raised]:  # what was said of two is said once
            unsafe.append(lies.get(item) or _fact("fault-found", item, judged))
        raised += first
    lower = [clause for clause in facts if clause["item"] not in named]
    lower += [clause for clause in suspected if clause not in unsafe]
    verdict, way, now = answers["buy"][0], answers["drive"][0], answers["now"][:1]
    milder = _spoken_overruled(overruled, deal)
    told = _few(stops + unsafe + lower) + milder
    if buy == "walk":
        return [verdict] + told + now
    if buy == "not_until":
        # what is to be cleared has been said; a question has not
        now = [clause for clause in now if clause["said"]["id"] != "judge-now-clear"]
        safe = [way] if drive["answer"] != "drive" else []
        if not stops:
            return [verdict] + milder + safe + _few(unsafe + lower) + now
        return [verdict] + _few(stops) + safe + _few(unsafe + lower) + milder + now
    if buy == "too_little" and drive["answer"] == "trailer":
        return [way] + told + [verdict] + now
    if buy == "too_little":
        return [verdict, way] + told + now
    return [way] + told + _spoken_price(buy, money) + now


def _few(facts: list[Clause]) -> list[Clause]:
    """The first facts, and how many more there are."""
    if len(facts) <= MOST_FACTS:
        return facts
    shown = facts[: MOST_FACTS - 1]
    return shown + [_clause("facts-more", {"count": len(facts) - len(shown)})]


def _spoken_overruled(overruled: list[Clause], deal: list[str]) -> list[Clause]:
    """Every danger and every stop that somebody called milder, or else the first; and the rest."""
    told = [c for c in overruled if c["item"] in deal or _was_measured(c, "dangerous")]
    told = (told or overruled[:1])[:MOST_FACTS]
    more = len(overruled) - len(told)
    return told + ([_clause("overruled-more", {"count": more})] if more else [])


def _was_measured(clause: Clause, name: Grade) -> bool:
    return (clause["said"].get("args") or {}).get("measured") == grade(name)


def _spoken_price(buy: BuyAnswer, money: Money) -> list[Clause]:
    """What repairs and paperwork come to, and up to what to buy it."""
    top = money["price"]["walk_away"]
    if top is None:
        return []
    papers = 0
    for line in money["lines"]:
        papers += line["expected"] if line["kind"] == PAPER else 0
    repairs = max(money["totals"]["expected"] - papers, 0)
    args: dict[str, SaidArgument] = {"top": _money(top, money)}
    if repairs:
        args["repairs"] = _money(repairs, money)
    if papers:
        args["papers"] = _money(papers, money)
    if buy == "buy":
        return [_clause("spoken-price-plain", {"top": args["top"]})]
    if not papers:
        return [_clause("spoken-price" if repairs else "spoken-price-alone", args)]
    return [_clause("spoken-price-papers" if repairs else "spoken-price-only-papers", args)]
