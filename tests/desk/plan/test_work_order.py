"""What practice puts first comes first in the order of work. Common practice, no source."""

from __future__ import annotations

import hashlib

from bradawl.desk.model.plan import work_order
from bradawl.desk.model.plan.build import plan_of
from tests.checkout import checklist_bundle
from tests.desk.conftest import VISIT, Workshop, item


def test_every_rule_names_areas_and_items_of_the_checklist() -> None:
    checklist = checklist_bundle()
    names = {entry["id"] for entry in checklist["items"] + checklist["areas"]}
    for rule in work_order.rules():
        assert set(rule.first) | set(rule.then) <= names, rule


def test_no_item_waits_for_itself_by_way_of_others() -> None:
    import networkx

    ids = [rule["id"] for rule in checklist_bundle()["items"]]
    graph = networkx.DiGraph()
    for later in ids:
        for before in work_order.comes_first(later, ids, work_order.rules()):
            graph.add_edge(before, later)
    assert networkx.is_directed_acyclic_graph(graph)


def test_ignition_and_wiring_come_before_chasing_the_mixture() -> None:
    before = work_order.comes_first(
        "fuel.regulator",
        ["ignition.plugs", "rodents.injector-leads", "rust.sills"],
        work_order.rules(),
    )
    assert set(before) == {"ignition.plugs", "rodents.injector-leads"}


def faulty(workshop: Workshop, also: dict[str, list[str]]) -> None:
    """A visit whose checklist has ignition, mixture and toe, each with one remedy."""
    ids = ["ignition.plugs", "fuel.regulator", "steering.toe", "bushings.subframe"]
    checklist = dict(workshop.bundle)
    checklist["items"] = [
        item(
            name,
            name,
            remedies=[
                {
                    "id": "do",
                    "title": f"Do {name}",
                    "kind": "part",
                    "parts": [10, 10, 10],
                    "hours": ["1", "1", "1"],
                    "for": ["major"],
                    "need": True,
                    "also": also.get(name, []),
                }
            ],
        )
        for name in ids
    ]
    checklist["rules"] = {
        "items": {rule["id"]: rule for rule in checklist["items"]},
        "areas": checklist["areas"],
    }
    checklist["hash"] = hashlib.sha256(repr(also).encode()).hexdigest()
    workshop.log.put_bundle(checklist)
    workshop.begin()
    workshop.write([("about/bundle", checklist["hash"])])
    workshop.write([(f"items/{name}/grade", {"grade": "major"}) for name in ids])


def test_the_order_of_work_follows_practice_and_says_why(workshop: Workshop) -> None:
    faulty(workshop, {})
    plan = plan_of(workshop.snapshot(VISIT))
    place = {job.id: n for n, job in enumerate(plan.jobs)}
    assert place["ignition.plugs/do"] < place["fuel.regulator/do"]
    assert place["bushings.subframe/do"] < place["steering.toe/do"]
    page = workshop.client.get(f"/desk/visits/{VISIT}/order").text
    assert "The mixture is chased last" in page
    assert plan.order["cycle"] == []


def test_jobs_that_practice_would_put_in_a_ring_are_left_free(workshop: Workshop) -> None:
    # one job does plugs and toe, another regulator and bushings: each waits for the other
    faulty(workshop, {"ignition.plugs": ["steering.toe"], "fuel.regulator": ["bushings.subframe"]})
    plan = plan_of(workshop.snapshot(VISIT))
    assert len(plan.jobs) == 2
    assert plan.order["cycle"] == []
