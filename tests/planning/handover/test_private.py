"""What must not leave, against ways in which people write it; and what must not be taken for it."""

import pytest

from planning.handover.private import KEPT_BACK, screened


@pytest.mark.parametrize(
    "secret",
    [
        "303-555-0147", "(303) 555-0147", "303.555.0147", "+1 303 555 0147", "3035550147", "555 0147",
        "+351 912 345 678", "sam@example.org", "$28/hour", "$ 28 an hour", "$1,250", "28 dollars an hour", "300 bucks",
        "€45", "45 EUR per day",
    ],
)  # fmt: skip
def test_phones_mail_and_money_are_kept_back_wherever_they_stand(secret: str) -> None:
    for text in (secret, f"ask Sam {secret}", f"call {secret} first, then go on", f"({secret})"):
        said = screened(text)
        assert secret not in said
        assert KEPT_BACK in said
        assert not any(part in said for part in ("0147", "555", "example", "28", "250"))


@pytest.mark.parametrize("clause", ["he is paid by the day", "owe Sam two days of wages", "pay helper cash"])
def test_a_clause_about_wages_is_kept_back_whole_and_the_rest_is_not(clause: str) -> None:
    said = screened(f"joist is soft, {clause}; water below")
    assert clause not in said
    assert said.startswith("joist is soft")
    assert said.endswith("water below")


@pytest.mark.parametrize(
    "text",
    [
        "joist is soft", "Tue 2 Jun 7:30 am", "2026-06-03", "IMG_20260603_1122", "20260603", "7:45 to 9:35", "x1.34",
        "lot K4471", "66 F, 58 %, floor 64 F", "12 x 24 x 3/8 in", "2 bags + 1 spare",
        "22 of 100 parts, 21 this morning",
        "follow 29 CFR 1926.1153 and the saw's book", "room 12, 3rd floor", "5'-3 1/2\"", "payload 1400 lb", "",
    ],
)  # fmt: skip
def test_what_is_no_secret_stays_as_it_is(text: str) -> None:
    assert screened(text) == text
