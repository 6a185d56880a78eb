"""A night's orders through a client generated from the document: all of them in one call, and then once more
with the last one spoilt. Prints what the test compares with plain calls.

Usage: python night_job.py URL NIGHT, with the generated package scaldloaf_client on the path.
"""

import atexit
import json
import sys

from scaldloaf_client import Client, models
from scaldloaf_client.api.calculations import bulk, order_demand

with open(sys.argv[2], encoding="utf-8") as file:
    night = json.load(file)
client = Client(base_url=sys.argv[1], raise_on_unexpected_status=True)
atexit.register(lambda: client.get_httpx_client().close())
BRIEF = models.Show.RESULT


def target(
    order: dict,
) -> models.ScalingTargetPieces | models.ScalingTargetBakedPieces | models.OrderTargetPans:
    if order["sold"] == "baked":
        return models.ScalingTargetBakedPieces("baked_pieces", count=order["count"], mass=order["mass"])
    if order["sold"] == "in pans":
        return models.OrderTargetPans("pans", count=order["count"], dough_mass=order["mass"])
    return models.ScalingTargetPieces("pieces", count=order["count"], mass=order["mass"])


request = models.OrderDemandRequest(
    formulas=[
        models.ProductionFormula(
            id=loaf["name"],
            own=models.OwnCodes.from_dict({"sku": loaf["sku"]}),
            formula=models.FormulaWithOwnCodes(
                name=loaf["name"],
                lines=[
                    models.LineWithOwnCodes(
                        line["ingredient"], mass=line["mass"], part=models.LineWithOwnCodesPart(line["part"])
                    )
                    for line in loaf["lines"]
                ],
            ),
            losses=models.Losses(handling_percent=2, bake_percent=10),
            mixer_capacity=20_000,
        )
        for loaf in night["loaves"]
    ],
    orders=[
        models.Order(
            order["loaf"],
            target(order),
            id=order["customer"],
            own=models.OwnCodes.from_dict({"round": order["customer"][-1]}),
        )
        for order in night["orders"]
    ],
    scale=models.Scale(resolution=5, fine_resolution=0.1),
    packs=[models.Pack("bread_flour", 25_000, stock_unit="sack")],
)
demand = order_demand.sync(client=client, show=BRIEF, body=request)
assert isinstance(demand, models.OrderDemandReply), demand

request.orders[-1].formula += "!"
refused = order_demand.sync(client=client, show=BRIEF, body=request)
assert isinstance(refused, models.Problem), refused
fault = refused.errors[0]
assert fault.code is models.ErrorCode.UNKNOWN_FORMULA
# A code of a later version is text.
later = models.ProblemFault.from_dict({**fault.to_dict(), "code": "of_a_later_version"})
assert later.code == "of_a_later_version" and not isinstance(later.code, models.ErrorCode)

# The first order as a line of bulk, in an array.
request.formulas, request.orders = request.formulas[:1], request.orders[:1]
body = models.BulkLineBody.from_dict(request.to_dict())
line = models.BulkLine(models.BulkLineCall.ORDER_DEMAND, body, id="night")
(answer,) = bulk.sync(client=client, show=BRIEF, body=[line])

print(
    json.dumps(
        {
            "stock": [[row.ingredient, row.mass, row.scald] for row in demand.ingredients],
            "packs": [[row.packs.count, row.packs.left_over] for row in demand.ingredients if row.packs],
            "batches": [[made.own["sku"], made.batches, made.scald_mass] for made in demand.formulas],
            "orders": [[order.own["round"], order.dough_mass] for order in demand.orders],
            "refused": [refused.status, fault.pointer, fault.code, fault.nearest],
            "in_bulk": [answer.id, answer.status],
        }
    )
)
