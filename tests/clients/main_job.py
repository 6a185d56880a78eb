"""The main job through a client generated from the document: the Lantern Quay tin loaf from 20 % to 35 %
scalded flour in the same tin. Prints the figures that the test compares with the service's.

Usage: python main_job.py URL, with the generated package scaldloaf_client on the path.
"""

import atexit
import json
import sys

from scaldloaf_client import Client, models
from scaldloaf_client.api.calculations import hydration_correction, pan_fill, scaling, sugar_budget
from scaldloaf_client.api.facts import units

client = Client(base_url=sys.argv[1], raise_on_unexpected_status=True)
atexit.register(lambda: client.get_httpx_client().close())
BRIEF = models.Show.RESULT

tin_loaf = models.Formula(
    name="Lantern Quay tin loaf",
    lines=[
        models.Line("bread_flour", mass=100, part=models.LinePart.SCALD),
        models.Line("water", mass=100, part=models.LinePart.SCALD),
        models.Line("bread_flour", mass=400),
        models.Line("whole_milk", mass=150),
        models.Line("water", mass=95),
        models.Line("sucrose", mass=30),
        models.Line("butter", mass=30),
        models.Line("skim_milk_powder", mass=10),
        models.Line("salt", mass=9),
        models.Line("instant_yeast", mass=5),
    ],
)

moved = hydration_correction.sync(
    client=client,
    show=BRIEF,
    body=models.HydrationCorrectionRequest(formula=tin_loaf, scalded_share_percent=35),
)
assert isinstance(moved, models.HydrationCorrectionReply), moved

filled = pan_fill.sync(
    client=client,
    show=BRIEF,
    body=models.PanFillRequest(
        formula=moved.formula,
        pan=models.PanBox("box", length=19, width=9.5, depth=9.5),
        pans=3,
        scalded_share_percent=35,
        bread=models.KnownBreadReferenceLoaf(
            "reference_loaf", dough_mass=440, loaf_volume=1715, bake_loss_percent=10, scalded_share_percent=20
        ),
    ),
)
assert isinstance(filled, models.PanFillReply), filled

sheet = scaling.sync(
    client=client,
    show=BRIEF,
    body=models.ScalingRequest(
        formula=filled.formula,
        target=models.ScalingTargetPieces("pieces", count=3, mass=filled.dough_mass.best),
        losses=models.Losses(handling_percent=2),
        scale=models.Scale(resolution=1, fine_resolution=0.1),
    ),
)
assert isinstance(sheet, models.ScalingReply), sheet

budget = sugar_budget.sync(
    client=client,
    show=BRIEF,
    body=models.SugarBudgetRequest(
        formula=sheet.formula,
        stages=[
            models.Stage(name="bulk", minutes=90, temperature=28),
            models.Stage(name="proof", minutes=60, temperature=32),
        ],
    ),
)
assert isinstance(budget, models.SugarBudgetReply), budget

# A scald too wet for the dough: the refusal has a class as well.
refused = hydration_correction.sync(
    client=client,
    body=models.HydrationCorrectionRequest(formula=tin_loaf, scalded_share_percent=35, scald_liquid_ratio=5),
)
assert isinstance(refused, models.Problem), refused
fault = refused.errors[0]

known = units.sync(client=client)

print(
    json.dumps(
        {
            "hydration_percent": moved.optimum_hydration_percent.best,
            "assessment": moved.assessment,
            "dough_mass": filled.dough_mass.best,
            "weigh_out": [[line.ingredient, line.part, line.mass] for line in sheet.weigh_out],
            "sugar": budget.assessment,
            "sweetness_percent": budget.sweetness_percent.best,
            "free_sugar_spent_hours": budget.free_sugar_spent_hours,
            "refused": [refused.status, fault.pointer, fault.code],
            "units": isinstance(known, models.UnitsFacts),
        }
    )
)
