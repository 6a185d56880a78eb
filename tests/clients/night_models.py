"""A night's orders with models generated from the document, sent with requests: all of them in one call, and
then once more with the last one spoilt. Prints what the test compares with plain calls.

Usage: python night_models.py URL NIGHT, with the generated module scaldloaf_models on the path.
"""

import json
import sys

import requests
import scaldloaf_models as models

with open(sys.argv[2], encoding="utf-8") as file:
    night = json.load(file)


def target(
    order: dict,
) -> models.ScalingTargetPieces | models.ScalingTargetBakedPieces | models.OrderTargetPans:
    count, mass = order["count"], order["mass"]
    if order["sold"] == "baked":
        return models.ScalingTargetBakedPieces(kind="baked_pieces", count=count, mass=mass)
    if order["sold"] == "in pans":
        return models.OrderTargetPans(kind="pans", count=count, dough_mass=mass)
    return models.ScalingTargetPieces(kind="pieces", count=count, mass=mass)


request = models.OrderDemandRequest(
    formulas=[
        models.ProductionFormula(
            id=loaf["name"],
            own={"sku": loaf["sku"]},
            formula=models.FormulaWithOwnCodes(
                name=loaf["name"], lines=[models.LineWithOwnCodes(**line) for line in loaf["lines"]]
            ),
            losses=models.Losses(handling_percent=2, bake_percent=10),
            mixer_capacity=20_000,
        )
        for loaf in night["loaves"]
    ],
    orders=[
        models.Order(
            formula=order["loaf"],
            target=target(order),
            id=order["customer"],
            own={"round": order["customer"][-1]},
        )
        for order in night["orders"]
    ],
    scale=models.Scale(resolution=5, fine_resolution=0.1),
    packs=[models.Pack(ingredient="bread_flour", pack_mass=25_000, stock_unit="sack")],
)


def ask(call: str, body: str) -> requests.Response:
    headers = {"Content-Type": "application/json"}
    return requests.post(f"{sys.argv[1]}/v1/{call}?show=result", data=body, headers=headers, timeout=120)


def written(model: models.BaseModel) -> str:
    """Only what was set: the service fills in the rest."""
    return model.model_dump_json(exclude_unset=True)


demand = models.OrderDemandReply.model_validate_json(ask("order-demand", written(request)).content)

request.orders[-1].formula += "!"
refused = models.Problem.model_validate_json(ask("order-demand", written(request)).content)
fault = refused.errors[0]
assert fault.code == models.ErrorCode.unknown_formula
# A code of a later version is text.
later = models.ProblemFault.model_validate({**fault.model_dump(), "code": "of_a_later_version"})
assert later.code == "of_a_later_version" and not isinstance(later.code, models.ErrorCode)

# The first order as a line of bulk, in an array.
request.formulas, request.orders = request.formulas[:1], request.orders[:1]
line = models.BulkLine(call="order-demand", body=json.loads(written(request)), id="night")
(answer,) = map(models.BulkAnswer.model_validate, ask("bulk", f"[{written(line)}]").json())

print(
    json.dumps(
        {
            "stock": [[row.ingredient, row.mass, row.scald] for row in demand.ingredients],
            "packs": [[row.packs.count, row.packs.left_over] for row in demand.ingredients if row.packs],
            "batches": [[made.own.root["sku"], made.batches, made.scald_mass] for made in demand.formulas],
            "orders": [[order.own.root["round"], order.dough_mass] for order in demand.orders],
            "refused": [refused.status, fault.pointer, fault.code, fault.nearest],
            "in_bulk": [answer.id, answer.status],
        }
    )
)
