"""keeping over the wire: fit, order, what the scores do not show, and what is never claimed."""

import pytest
from pytest import approx

from scaldloaf.operations.schemas.keeping import MAX_LOAVES, MAX_SCORES

PLAIN = {
    "name": "plain",
    "scores": [
        {"days": day, "score": score} for day, score in [(0, 3.1), (1, 4.6), (2, 5.8), (3, 6.6), (5, 7.9)]
    ],
}
SCALDED = {
    "name": "scalded",
    "scores": [
        {"days": day, "score": score} for day, score in [(0, 2.6), (1, 3.5), (2, 4.3), (3, 5.1), (5, 6.0)]
    ],
}


def body(*loaves, direction="rises", **more):
    return {"direction": direction, "loaves": list(loaves), **more}


def scored(*pairs, name="loaf", **more):
    return {"name": name, "scores": [{"days": day, "score": score} for day, score in pairs], **more}


@pytest.fixture
def ask(call):
    return lambda *loaves, **more: call("keeping", body(*loaves, **more))


def codes(answer):
    return {note["code"] for note in answer["notes"]}


def test_two_loaves_are_fitted_compared_and_ranked(ask):
    answer = ask(PLAIN, SCALDED, limit=6, unit="N", storage_temperature=21)
    plain, scalded = answer["loaves"]
    assert plain["time_to_limit"]["best"] < scalded["time_to_limit"]["best"]
    assert plain["time_to_limit"]["low"] < plain["time_to_limit"]["best"] < plain["time_to_limit"]["high"]
    assert [place["name"] for place in answer["ranking"]] == ["scalded", "plain"]
    assert sum(place["longest_percent"] for place in answer["ranking"]) == approx(100)
    (pair,) = answer["comparisons"]
    assert (pair["longer"], pair["shorter"], pair["order"]) == ("scalded", "plain", "clear")
    assert pair["probability_percent"] > 95
    assert (answer["unit"], answer["limit"], answer["direction"]) == ("N", 6, "rises")


def test_measured_firmness_is_compared_at_equal_volume(ask):
    light, dense = {**PLAIN, "specific_volume": 4.4}, {**SCALDED, "specific_volume": 4.0}
    plain = ask(light, dense, limit=5)
    assert "at_equal_volume" not in plain and "volume_of_scored" in codes(plain)
    answer = ask(light, dense, limit=5, scores_are="measured")
    for field in ("ranking", "comparisons", "loaves"):  # beside them as they are
        assert answer[field] == plain[field]
    equal = answer["at_equal_volume"]
    assert equal["specific_volume"] == 4.4 and "denser_is_firmer" in codes(answer)
    first, second = equal["loaves"]
    assert first["factor"] == {"low": 1, "best": 1, "high": 1, "evidence": "assumption"}
    assert first["time_to_limit"] == answer["loaves"][0]["time_to_limit"]
    assert second["factor"]["best"] == approx((4.0 / 4.4) ** 2.1)
    assert second["factor"]["low"] == approx((4.0 / 4.4) ** 2.6)
    assert second["initial"]["best"] == approx(
        answer["loaves"][1]["fit"]["initial"]["best"] * (4.0 / 4.4) ** 2.1
    )
    # the same as if it had been measured at that volume
    scaled = [
        {"days": each["days"], "score": each["score"] * (4.0 / 4.4) ** 2.1} for each in SCALDED["scores"]
    ]
    by_hand = ask(PLAIN, {"name": "scalded", "scores": scaled}, limit=5)["loaves"][1]["time_to_limit"]
    time, as_it_is = second["time_to_limit"], answer["loaves"][1]["time_to_limit"]
    assert time["best"] == approx(by_hand["best"], rel=1e-6) and time["best"] > as_it_is["best"]
    assert time["low"] < by_hand["low"]
    assert [place["name"] for place in equal["ranking"]] == ["scalded", "plain"]
    assert "rahman_simsek_2020" in answer["basis"] and "rahman_simsek_2020" not in plain["basis"]


def test_a_loaf_without_a_volume_is_left_as_it_is(ask):
    answer = ask({**PLAIN, "specific_volume": 4.4}, SCALDED, limit=6, scores_are="measured")
    assert "at_equal_volume" not in answer and "volume_to_compare" in codes(answer)
    third = {**SCALDED, "name": "third", "specific_volume": 4.2}
    answer = ask(SCALDED, {**PLAIN, "specific_volume": 4.4}, third, scores_are="measured")
    equal = answer["at_equal_volume"]
    assert [each["name"] for each in equal["loaves"]] == ["plain", "third"]
    assert equal["loaves"][1]["time_to_limit"]["reason"] == "no_limit" and equal["ranking"] == []
    one_day = {**scored((1, 4), name="once"), "specific_volume": 4.0}
    equal = ask({**PLAIN, "specific_volume": 4.4}, one_day, limit=6, scores_are="measured")["at_equal_volume"]
    assert equal["loaves"][1]["initial"] is None
    assert equal["loaves"][1]["time_to_limit"]["reason"] == "one_day"


@pytest.mark.parametrize(
    ("more", "pointer", "code", "nearest"),
    [
        ({"direction": "falls"}, "/direction", "firmness_falls", "rises"),
        ({"specific_volume": 9}, "/loaves/1/specific_volume", "specific_volume_out_of_range", 8.5),
        ({"specific_volume": 1}, "/loaves/1/specific_volume", "specific_volume_out_of_range", 2),
    ],
)
def test_a_measured_firmness_that_is_none_is_refused(client, assert_problem, more, pointer, code, nearest):
    volume = more.pop("specific_volume", 4.1)
    asked = body(PLAIN, {**SCALDED, "specific_volume": volume}, **{"scores_are": "measured", **more})
    found = assert_problem(client.post("/v1/keeping", json=asked), 422, pointer, code)
    assert found["nearest"] == nearest


def test_the_curve_and_its_residuals(ask):
    found = ask(PLAIN, limit=6)["loaves"][0]
    assert found["curve"][0]["days"] == 0 and found["curve"][-1]["days"] == 5 and found["different_days"] == 5
    for point in found["curve"]:
        assert point["low"] < point["best"] < point["high"]
    assert [each["score"] for each in found["residuals"]] == [3.1, 4.6, 5.8, 6.6, 7.9]
    for each in found["residuals"]:
        assert each["residual"] == approx(each["score"] - each["fitted"]) and abs(each["residual"]) < 0.4
    assert found["fit"]["initial"]["evidence"] == "assumption" and found["fit"]["exponent"]["best"] == 1


def test_softness_that_falls(ask):
    answer = ask(scored((0, 9), (1, 8), (2, 7), (4, 5.5)), direction="falls", limit=6)
    assert answer["loaves"][0]["time_to_limit"]["best"] == approx(3.3, abs=0.5)
    fit = answer["loaves"][0]["fit"]
    assert fit["final"]["best"] < 6 < fit["initial"]["best"]


@pytest.mark.parametrize(
    "loaf, reason",
    [
        (scored((1, 5)), "one_day"),
        (scored((0, 4), (1, 4), (2, 4)), "no_trend"),
        (scored((0, 8), (1, 6), (2, 5), (3, 4)), "against_direction"),
    ],
)
def test_no_curve_is_invented(ask, loaf, reason):
    answer = ask(loaf, limit=9)
    found = answer["loaves"][0]
    assert found["fit"] is None and found["time_to_limit"]["reason"] == reason
    assert found["time_to_limit"]["best"] is None and reason in codes(answer)


def test_one_score_has_no_curve_at_all(ask):
    answer = ask(scored((1, 5)), PLAIN, limit=6)
    assert answer["loaves"][0]["curve"] == answer["loaves"][0]["residuals"] == []
    assert answer["loaves"][0]["trend_percent"] is None
    assert [place["name"] for place in answer["ranking"]] == ["plain"] and answer["comparisons"] == []


def test_a_flat_loaf_is_told_without_a_limit_too(ask):
    answer = ask(scored((0, 4), (1, 4), (2, 4)))
    assert {"no_trend", "no_limit"} <= codes(answer) and answer["ranking"] == [] and answer["limit"] is None


def test_limits_that_are_never_or_already_reached(ask):
    never = ask(PLAIN, limit=100)["loaves"][0]["time_to_limit"]
    assert (never["best"], never["reason"]) == (None, "limit_not_reached")
    already = ask(PLAIN, limit=1)["loaves"][0]["time_to_limit"]
    assert (already["best"], already["reason"]) == (0, "already_reached")


def test_late_scores_say_nothing_of_the_fresh_loaf(ask):
    """A curve drawn back from day 30 to day 0 would be a thousand times off any scale."""
    late = ask(scored((30, 3), (45, 4), (60, 5)), limit=6)
    assert "no_early_score" in codes(late)
    curve = late["loaves"][0]["curve"]
    assert (curve[0]["days"], curve[-1]["days"]) == (30, 60) and all(1 < each["best"] < 7 for each in curve)
    soon = ask(scored((1, 3), (4, 5)), limit=6)
    assert "no_early_score" not in codes(soon) and soon["loaves"][0]["curve"][0]["days"] == 0


def test_notes_say_what_the_answer_rests_on(ask):
    assert "two_days" in codes(ask(scored((1, 3), (3, 5)), limit=6))
    assert "beyond_last_day" in codes(ask(SCALDED, limit=6.5))
    assert "noisy" in codes(ask(scored((0, 1), (0, 6), (2, 9), (2, 2), (5, 4), (5, 16), (5, 1)), limit=12))
    assert "moisture" in codes(ask({**PLAIN, "moisture_percent": 39}, limit=6))
    assert "storage_unknown" in codes(ask(PLAIN, limit=6))
    cold = ask({**PLAIN, "storage_temperature": 4}, {**SCALDED, "storage_temperature": 21}, limit=6)
    assert {"storage_outside_range", "storage_differs"} <= codes(cold)
    assert "storage_unknown" not in codes(cold)


def test_the_refrigerator_is_never_credited(ask):
    room, cold = (ask(PLAIN, limit=6, storage_temperature=temperature) for temperature in (21, 4))
    assert room["loaves"] == cold["loaves"]
    for answer in (room, cold):
        assert [each["code"] for each in answer["cautions"]] == [
            "no_shelf_life_claim",
            "refrigerator_stales",
            "rope_spoilage",
        ]


SOFT = {
    "name": "soft",
    "scores": [
        {"days": days, "score": score}
        for days, score in ((0, 9), (1, 7.8), (2, 6.9), (3, 6.2), (5, 5.1), (7, 4.6))
    ],
}


@pytest.mark.parametrize("loaf, more", [(PLAIN, {"limit": 6}), (SOFT, {"limit": 5, "direction": "falls"})])
def test_the_likeliest_curve_is_at_the_limit_about_when_the_loaf_is(ask, loaf, more):
    after, at_limit, found = ask(loaf, **more)["working"]
    assert after["label"].startswith(f"{loaf['name']}: likeliest curve after")
    assert found["label"] == f"{loaf['name']}: time to the limit"
    assert at_limit["value"] == approx(found["value"], rel=0.05)


@pytest.mark.parametrize(
    "request_body, pointer, code, nearest",
    [
        (body(), "/loaves", "too_short", None),
        ({"loaves": [PLAIN]}, "/direction", "missing", None),
        (body(PLAIN, direction="up"), "/direction", "not_one_of", None),
        (body(scored(name="x")), "/loaves/0/scores", "too_short", None),
        (body(scored((-1, 5))), "/loaves/0/scores/0/days", "too_small", 0),
        (body(scored((0, 5), (400, 5))), "/loaves/0/scores/1/days", "too_large", 365),
        (body(scored((0, "soft"))), "/loaves/0/scores/0/score", "wrong_type", None),
        (body(scored((0, 5), (3, 6), (2, 7))), "/loaves/0/scores/2/days", "days_out_of_order", 3),
        (body(PLAIN, PLAIN), "/loaves/1/name", "name_taken", "plain 2"),
        (body(*[scored((0, 1), name=str(number)) for number in range(13)]), "/loaves", "too_long", None),
        (body(PLAIN, storage_temperature=300), "/storage_temperature", "temperature_out_of_range", 100),
        (
            body({**PLAIN, "storage_temperature": -200}),
            "/loaves/0/storage_temperature",
            "temperature_out_of_range",
            -40,
        ),
        (body({**PLAIN, "moisture_percent": 140}), "/loaves/0/moisture_percent", "too_large", 100),
        (body(PLAIN, limit=None), "/limit", "wrong_type", None),
    ],
)
def test_refused_at_the_field(client, assert_problem, request_body, pointer, code, nearest):
    error = assert_problem(client.post("/v1/keeping", json=request_body), 422, pointer, code)
    assert nearest is None or error["nearest"] == nearest


def test_storage_in_fahrenheit(ask):
    warm, cold = (
        ask(PLAIN, limit=6, storage_temperature=temperature, units={"temperature": "degF"})
        for temperature in (70, 40)
    )
    assert "storage_outside_range" not in codes(warm)
    said = next(note["text"] for note in cold["notes"] if note["code"] == "storage_outside_range")
    assert "of 68 to 77 °F." in said and "°C" not in said


def test_a_full_request_is_answered(ask):
    loaves = [
        scored(*((day / 4, 3 + day / 20 + number / 10) for day in range(MAX_SCORES)), name=str(number))
        for number in range(MAX_LOAVES)
    ]
    answer = ask(*loaves, limit=5)
    assert (
        len(answer["ranking"]) == MAX_LOAVES
        and len(answer["comparisons"]) == MAX_LOAVES * (MAX_LOAVES - 1) / 2
    )
