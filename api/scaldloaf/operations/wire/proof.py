"""The proof that trial-fit replied, posted back."""

from scaldloaf.dough.estimate import Estimate
from scaldloaf.dough.refusal import Refusal
from scaldloaf.dough.trials.proof import KnownProof
from scaldloaf.operations.context import Wire


def read_proof(wire: Wire) -> KnownProof:
    """What own trials say of the proof. Raises Refusal for ends that are in the wrong order."""
    found: dict[str, Estimate | None] = {}
    for name in ("minutes", "minutes_per_share_point"):
        given = wire.get(name)
        found[name] = given and Estimate(given["low"], given["best"], given["high"], "assumption")
        if given and not given["low"] <= given["best"] <= given["high"]:
            raise Refusal(
                f"proof.{name}.best",
                "ends_in_disorder",
                "an estimate lies between its ends, {low} to {high}; send `proof` as trial-fit gave it",
                given=given["best"],
                amounts={"low": (given["low"], None), "high": (given["high"], None)},
            )
    minutes = found["minutes"]
    if minutes is not None and minutes.low <= 0:
        raise Refusal(
            "proof.minutes.low",
            "no_time",
            "a proof takes more than no time; send `proof` as trial-fit gave it",
            given=minutes.low,
        )
    return KnownProof(wire["scalded_share_percent"], minutes, found["minutes_per_share_point"])
