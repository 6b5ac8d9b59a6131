"""The money of the shop: every car's sums beside one another, and orders split over several."""

from fastapi import APIRouter, Request, Response

from bradawl.desk.model.money.shop import orders_that_differ, totals_of
from bradawl.desk.web.context import DeskHere
from bradawl.desk.web.rendering import render

pages = APIRouter()


@pages.get("/money")
def show_shop(request: Request, desk: DeskHere) -> Response:
    cars, waiting = desk.summaries.all_of_money()
    cars.sort(key=lambda car: (car.money.state == "sold", -car.money.total_cents, car.visit))
    return render(
        request,
        "money/shop.html",
        cars=cars,
        waiting=waiting,
        totals=totals_of(cars),
        differ=orders_that_differ(cars),
    )
