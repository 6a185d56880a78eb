"""A refusal of the craft gets the address of a field in the request."""

from dataclasses import replace

import pytest

from scaldloaf.dough.refusal import Refusal
from scaldloaf.operations.located import Place, located


def refuse(argument: str) -> Refusal:
    return Refusal(argument, "too_large", "at most {most}", 9, 5, "mass", {"most": (5, "mass")})


@pytest.mark.parametrize(
    "argument, address",
    [
        ("pan_ratio", "bread.pan_ratio"),
        ("known.share_percent", "bread.scalded_share_percent"),
        ("known.bake_loss_percent", "bread.bake_loss_percent"),
        ("wanted.bake_loss_percent", "bake_loss_percent"),
        ("wanted", ""),
        ("wantedness.share_percent", "bread.wantedness.share_percent"),
        ("stages.2.temperature", "times.2.temperature"),
    ],
)
def test_the_longest_name_counts_and_the_rest_goes_below_the_prefix(argument, address):
    places = {
        "wanted": "",
        "known": "bread",
        "known.share_percent": "bread.scalded_share_percent",
        "stages": "times",
    }
    assert located("bread", **places).address(argument) == address


def test_without_a_prefix_other_arguments_stay():
    assert located(tasks="timetable").address("ready_at") == "ready_at"
    assert located(prefix="a").address("prefix.b") == "a.b"


def test_the_refusal_that_leaves_is_a_new_one_and_all_else_of_it_stays():
    first = refuse("bake_loss_percent")
    with pytest.raises(Refusal) as caught, located("losses", bake_loss_percent="losses.bake_percent"):
        raise first
    moved = caught.value
    assert (first.argument, moved.argument) == ("bake_loss_percent", "losses.bake_percent")
    assert moved is not first and moved.__cause__ is None and moved.__suppress_context__
    assert (moved.code, moved.message, moved.given, moved.nearest, moved.quantity, moved.amounts) == (
        first.code,
        first.message,
        first.given,
        first.nearest,
        first.quantity,
        first.amounts,
    )


def test_blocks_nest():
    with pytest.raises(Refusal) as caught, located("orders.3"), located("target", pieces="target.count"):
        raise refuse("pieces")
    assert caught.value.argument == "orders.3.target.count"


def test_other_errors_pass_and_a_block_without_one_does_nothing():
    with pytest.raises(KeyError), located("pan"):
        raise KeyError("length")
    with located("pan"):
        pass


def test_a_refusal_is_hashable_and_equal_to_itself_alone():
    one, other = refuse("pan"), refuse("pan")
    assert one != other and len({one, other}) == 2


def test_a_place_says_given_and_nearest_as_its_field_has_them():
    def halved(refused: Refusal) -> Refusal:
        return replace(refused, given=refused.given / 2, nearest=refused.nearest / 2, quantity=None)

    with pytest.raises(Refusal) as caught, located("pan", **{"fill": Place("fill_percent", halved)}):
        raise refuse("fill.best")
    moved = caught.value
    assert (moved.argument, moved.given, moved.nearest, moved.quantity) == (
        "fill_percent.best",
        4.5,
        2.5,
        None,
    )


def test_places_are_only_worked_out_when_something_is_refused():
    asked = []

    def places(*args: str) -> dict[str, str]:
        asked.append(args)
        return {"mass": "target.mass"}

    with located.lazily(places, "asked", "context"):
        pass
    assert not asked
    with pytest.raises(Refusal) as caught, located.lazily(places, "asked", "context"):
        raise refuse("mass")
    assert (caught.value.argument, asked) == ("target.mass", [("asked", "context")])


def test_what_is_no_refusal_goes_through():
    with pytest.raises(KeyError), located("pan", fill="fill_percent"):
        raise KeyError("fill")
