"""Work at a vendor in a shop's file: what each act keeps, what it refuses, and whose secret it takes.

Vendors, orders, findings and charts are invented.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, sheet
from deciding_kit import EVA, Deciding, deciding, deciding_copy, refused, with_points
from people_kit import CHEAP, INES, OLGA, SECRETS, WIM, People, secret
from relief_charts_kit import RELIEF, logged, new_chart
from relief_charts_kit import sheet as relief_sheet

from traveler.acts.chart_asked import Asked
from traveler.acts.charts import attach_chart
from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.issue import revise
from traveler.acts.outside import (
    NewReceipt,
    NewReview,
    NewSending,
    call_off,
    receive,
    review,
    send,
)
from traveler.acts.readings import attach
from traveler.acts.sign import STALE, performed_meaning
from traveler.acts.signed_change import Signing
from traveler.acts.verify import verify
from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.report.text import traveler_text

PLANNED = with_points(sheet(), 40, 'outside = { vendor = "Beacon NDT", order = "B-7", returns = ["report"] }')
AS_SENT = NewReceipt("clean, as sent", "legible")
HELD = "report against the part, its number and the limits"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Deciding]:
    yield from deciding_copy(tmp_path / "shop.traveler", PLANNED)


def paper(shop: Deciding, name: str = "report.pdf", step: int = 40) -> str:
    content = f"invented: {name}".encode()
    outcome = attach(shop.shop, shop.clock, BRAM, shop.number, step, name, content, "certificate")
    return outcome.state.attachments[-1].sha256


def bodies(shop: Deciding) -> int:
    return len(shop.bodies())


def test_what_is_left_out_of_a_sending_is_the_sheets(shop: Deciding) -> None:
    outcome = send(shop.signing(BRAM), 40, NewSending(expected="2026-03-09", requirement="drawing 7 rev C"))
    assert outcome.message == "step 40: 1 piece sent to Beacon NDT; it asks for report"
    act = shop.bodies()[-1]["act"]
    assert {key: act[key] for key in ("vendor", "order", "pieces", "requirement", "revision", "returns")} == {
        "vendor": "Beacon NDT", "order": "B-7", "pieces": 1, "requirement": "drawing 7 rev C", "revision": 1,
        "returns": ["report"],
    }  # fmt: skip
    assert (act["what"], act["expected"]) == ("Link tab, invented", "2026-03-09")


def test_another_vendor_has_neither_the_order_nor_nobodys_papers(shop: Deciding) -> None:
    sent = send(shop.signing(BRAM), 40, NewSending(vendor="Cinder")).state.sendings[-1]
    assert (sent.vendor, sent.order, sent.returns) == ("Cinder", None, ("report",))


def test_a_step_that_nobody_planned_to_send_asks_for_the_usual_papers(shop: Deciding) -> None:
    sent = send(shop.signing(BRAM), 30, NewSending("Alder")).state.sendings[-1]
    assert sent.returns[:2] == ("furnace load number", "bake record")
    with pytest.raises(BadInput, match="the sheet names no vendor for step 20; say who does its work"):
        send(shop.signing(BRAM), 20, NewSending())


def test_who_sends_leaves_out_no_paper_that_the_sheet_asks_for(shop: Deciding) -> None:
    sent = send(shop.signing(BRAM), 40, NewSending(returns=("photos",))).state.sendings[-1]
    assert sent.returns == ("report", "photos")


def test_nothing_goes_or_comes_back_at_a_time_still_to_come(shop: Deciding) -> None:
    to_come, long_ago = "2030-01-01T00:00:00Z", "2026-02-01T08:00:00Z"
    for act, new in ((send, NewSending(at=to_come)), (receive, NewReceipt("clean", "legible", at=to_come))):
        events = bodies(shop)
        with pytest.raises(BadInput, match='"2030-01-01T00:00:00Z" is still to come'):
            act(shop.signing(BRAM), 40, new)
        assert bodies(shop) == events
        if act is send:
            send(shop.signing(BRAM), 40, NewSending())
    receive(shop.signing(BRAM), 40, NewReceipt("clean", "legible", at=long_ago))
    late = [said for said in shop.seen()["exceptions"] if long_ago[:10] in said]
    assert late == [
        "step 40: that it was received from Beacon NDT is a late entry: happened 2026-02-01T08:00:00+00:00, "
        "written 2026-03-02T07:00:00+01:00",
        "step 40: said to be received from Beacon NDT at 2026-02-01T08:00:00+00:00, before it was sent at "
        "2026-03-02T07:00:00+01:00",
    ]


def test_from_sent_to_accepted(shop: Deciding) -> None:
    # Everything is done and recorded here; all that its acceptance waits for is the vendor.
    with pytest.raises(AssertionError):
        shop.through_everything()
    assert [reason.split(",")[0] for reason in shop.blocked(40)] == ["not sent to Beacon NDT"]
    send(shop.signing(BRAM), 40, NewSending())
    assert shop.blocked(40)[0].startswith("at Beacon NDT since 2026-03-04T08:00:00+01:00")
    assert receive(shop.signing(BRAM), 40, AS_SENT).reasons == ("papers to come with it: report",)
    shop.perform(40)
    assert shop.bodies()[-1]["act"]["meaning"] == performed_meaning("Beacon NDT")
    sha256 = paper(shop)
    assert shop.blocked(40) == ["certificate of Beacon NDT not reviewed"]
    assert refused(review(shop.signing(BRAM), 40, NewReview(True, HELD))) == (
        "Bram Ortega performed this step; another person must review the certificate"
    )
    done = review(shop.signing(CLEO), 40, NewReview(True, HELD))
    assert done.message == "step 40: the certificate of Beacon NDT is accepted"
    assert shop.bodies()[-1]["act"]["files"] == [{"name": "report.pdf", "sha256": sha256}]
    assert shop.accept(40).recorded
    assert verify(shop.shop.path).faults == ()


def test_what_came_back_otherwise_is_recorded_and_said(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending(pieces=4))
    outcome = receive(shop.signing(BRAM), 40, NewReceipt("wet", "not legible", 3, "flange bent"))
    assert (outcome.recorded, outcome.complies) == (True, False)
    assert outcome.reasons == (
        "3 of 4 pieces are back from Beacon NDT",
        "damaged when it came back from Beacon NDT: flange bent",
        "the heat number is not legible any more since it was at Beacon NDT",
    )
    receive(shop.signing(BRAM), 40, AS_SENT)
    assert shop.state().sendings[-1].returned == 4


def test_a_refused_certificate_takes_a_reason_and_is_status_no(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    receive(shop.signing(BRAM), 40, AS_SENT)
    with pytest.raises(BadInput, match="a reason is needed"):
        review(shop.signing(ADA), 40, NewReview(False, HELD))
    outcome = review(
        shop.signing(ADA), 40, NewReview(False, HELD, missing=("REPORT",), because="it never came")
    )
    assert (outcome.recorded, outcome.complies, outcome.reasons) == (True, False, ("it never came",))
    assert shop.bodies()[-1]["act"]["missing"] == ["report"]


def test_files_are_named_by_name_or_digits_and_must_have_come_with_it(shop: Deciding) -> None:
    before = paper(shop, "old.pdf")
    send(shop.signing(BRAM), 40, NewSending())
    receive(shop.signing(BRAM), 40, AS_SENT)
    first, second = paper(shop, "report.pdf"), paper(shop, "levels.pdf")
    for wrong in (before, "old.pdf", "rep", "nothing.pdf"):
        with pytest.raises(BadInput, match=r"since it was sent; attached since: report\.pdf"):
            review(shop.signing(ADA), 40, NewReview(True, HELD, (wrong,)))
    review(shop.signing(ADA), 40, NewReview(True, HELD, ("report.pdf", second[:12].upper(), second)))
    files = shop.bodies()[-1]["act"]["files"]
    assert [file["sha256"] for file in files] == [first, second]


def test_two_files_of_one_name_are_told_apart_by_their_content(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    receive(shop.signing(BRAM), 40, AS_SENT)
    paper(shop)
    attach(shop.shop, shop.clock, BRAM, shop.number, 40, "report.pdf", b"another, invented", "certificate")
    with pytest.raises(BadInput, match="may be several files; name one by its SHA-256"):
        review(shop.signing(ADA), 40, NewReview(True, HELD, ("report.pdf",)))


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (NewSending(pieces=0), "0 is no number of pieces; expected 1 to 9999"),
        (NewSending(pieces=10_000), "10000 is no number of pieces"),
        (NewSending(expected="soon"), 'it is expected on: "soon" is no day; expected one such as 2026-03-02'),
        (NewSending(vendor="V\x1b[31m"), "vendor: the character U"),
        (NewSending(order="9" * 501), "order: 501 characters are too many"),
        (NewSending(returns=("chart", " ")), "a paper is missing; expected one that is to come back"),
        (NewSending(at="noon"), '"noon" is no time'),
    ],
)
def test_a_sending_that_cannot_be_read_leaves_no_trace(shop: Deciding, new: NewSending, said: str) -> None:
    before = bodies(shop)
    with pytest.raises(BadInput) as caught:
        send(shop.signing(BRAM), 40, new)
    assert said in str(caught.value)
    assert bodies(shop) == before


@pytest.mark.parametrize(
    ("new", "said"),
    [
        (NewReceipt(" ", "legible"), "the condition is missing; expected how it was found when it came back"),
        (
            NewReceipt("clean", "rubbed"),
            'the heat number is "rubbed"; expected one of: legible, not legible, none',
        ),
        (NewReceipt("clean", "legible", -1), "-1 is no number of pieces"),
        (NewReceipt("clean", "legible", at="yesterday"), '"yesterday" is no time'),
    ],
)
def test_a_receipt_that_cannot_be_read_leaves_no_trace(shop: Deciding, new: NewReceipt, said: str) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    before = bodies(shop)
    with pytest.raises(BadInput) as caught:
        receive(shop.signing(BRAM), 40, new)
    assert said in str(caught.value)
    assert bodies(shop) == before


def test_a_review_that_cannot_be_read_leaves_no_trace(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    receive(shop.signing(BRAM), 40, AS_SENT)
    before = bodies(shop)
    with pytest.raises(BadInput, match="what was held against what is missing"):
        review(shop.signing(ADA), 40, NewReview(True, " "))
    with pytest.raises(BadInput, match="was not asked of Beacon NDT; asked for: report"):
        review(shop.signing(ADA), 40, NewReview(False, HELD, missing=("bake record",), because="x"))
    assert bodies(shop) == before


def test_what_the_gate_refuses_leaves_no_trace(shop: Deciding) -> None:
    before = bodies(shop)
    assert "nothing of step 40 was sent" in refused(receive(shop.signing(BRAM), 40, AS_SENT))
    assert "nothing of step 40 is back" in refused(review(shop.signing(ADA), 40, NewReview(True, HELD)))
    assert "nothing of step 40 was sent" in refused(call_off(shop.signing(ADA), 40, "an error"))
    assert bodies(shop) == before


def test_stale_is_refused(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    assert refused(receive(shop.signing(BRAM, content="AAAA"), 40, AS_SENT)) == STALE


def test_a_step_that_was_sent_stays_on_the_sheet(shop: Deciding) -> None:
    send(shop.signing(BRAM), 30, NewSending("Alder"))
    without = sheet(route=((10, "preheat"), (20, "weld"), (40, "inspect")))
    outcome = revise(shop.shop, shop.clock, ADA, shop.number, without, "no slow cool")
    assert "step 30" in refused(outcome)


def test_a_vendors_reading_is_one_of_a_step_that_was_sent(shop: Deciding) -> None:
    with pytest.raises(BadInput, match="step 40 was not sent to a vendor, so no vendor reports"):
        shop.record(40, "crack test", "no relevant indications", from_vendor=True)
    send(shop.signing(BRAM), 40, NewSending())
    shop.record(40, "crack test", "no relevant indications", from_vendor=True)
    assert shop.bodies()[-1]["act"]["reported_by"] == "Beacon NDT"
    shop.record(40, "visual result", "accepted")
    assert "reported_by" not in shop.bodies()[-1]["act"]
    text = " ".join(traveler_text(shop.seen()).split())
    assert "step 40, reading 1: reported by Beacon NDT, not read by this shop" in text


def test_a_vendors_chart_is_judged_as_any_and_its_readings_are_the_vendors(tmp_path: Path) -> None:
    for shop in deciding(tmp_path / "relief.traveler", relief_sheet()):
        with pytest.raises(BadInput, match="was not sent to a vendor"):
            attach_chart(shop.shop, shop.clock, BRAM, shop.number, new_chart(logged(), from_vendor=True))
        send(shop.signing(BRAM), RELIEF, NewSending("Alder"))
        outcome = attach_chart(
            shop.shop, shop.clock, BRAM, shop.number, new_chart(logged(), from_vendor=True)
        )
        assert outcome.complies
        assert {reading.reported_by for reading in outcome.state.readings} == {"Alder"}
        step = next(step for step in shop.seen()["steps"] if step["number"] == RELIEF)
        assert step["charts"][0]["reported_by"] == "Alder"
        assert shop.verdict(RELIEF, "soak temperature")[0] == "met"


def test_a_chart_that_is_only_kept_reports_nothing(shop: Deciding) -> None:
    send(shop.signing(BRAM), 40, NewSending())
    kept = new_chart(logged(), Asked(), 40, from_vendor=True)
    with pytest.raises(
        BadInput, match="its chart is kept and not read, so there is no reading that a vendor"
    ):
        attach_chart(shop.shop, shop.clock, BRAM, shop.number, kept)


def test_the_vendors_tester_counts_once_it_is_registered_with_its_calibration(shop: Deciding) -> None:
    shop.probe()  # from now on the shop has such instruments
    send(shop.signing(BRAM), 10, NewSending("Alder"))
    shop.record(10, "preheat temperature", "320 F", place="web", instrument="Alder's pen", from_vendor=True)
    shop.record(
        10, "preheat temperature", "320 F", place="flange", instrument="Alder's pen", from_vendor=True
    )
    verdict, reason = shop.verdict(10, "preheat temperature")
    assert verdict == "not shown"
    assert "it was reported by Alder and names no registered instrument" in reason
    pen = register_instrument(shop.shop, shop.clock, ADA, NewInstrument("Alder's pen", "contact thermometer"))
    calibrated(shop.shop, shop.clock, ADA, pen.register.instruments[-1].id, "2026-01-05", "2027-01-05", "A-9")
    for place in ("web", "flange"):
        shop.record(
            10, "preheat temperature", "320 F", place=place, instrument="Alder's pen", from_vendor=True
        )
    assert shop.verdict(10, "preheat temperature")[0] == "met"


@pytest.fixture
def people(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[People]:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    monkeypatch.setitem(SECRETS, EVA.name, SECRETS["Eva Lindqvist"])
    with Shop.create(tmp_path / "people.traveler") as shop:
        made = People(shop)
        made.begin()
        made.issue(PLANNED)
        yield made


def signing(people: People, name: str, given: str | None = None) -> Signing:
    typed = secret(name) if given is None else secrets.Secret(given)
    return Signing(people.shop, people.clock, Person(name), people.number, None, typed)


def test_each_act_takes_the_secret_of_who_answers_for_it(people: People) -> None:
    bare = Signing(people.shop, people.clock, Person(WIM), people.number)
    for act in (
        lambda signing: send(signing, 40, NewSending()),
        lambda signing: receive(signing, 40, AS_SENT),
        lambda signing: review(signing, 40, NewReview(False, HELD, because="none came")),
        lambda signing: call_off(signing, 40, "an error"),
    ):
        with pytest.raises(TravelerError, match=f"it takes the secret of {WIM} to sign this"):
            act(bare)
        assert "wrong secret" in refused(act(signing(people, WIM, "another one 1")))
        people.clock.pass_by(60 * 24)
    assert send(signing(people, WIM), 40, NewSending()).complies
    event = people.told(f"job {people.number}")[-1]
    assert event["by"] == {"how": "signed", "name": WIM, "person": "P2", "roles": ["welder"]}
    assert "session" in event["act"]


def test_a_welder_does_not_review_and_an_inspector_does(people: People) -> None:
    send(signing(people, WIM), 40, NewSending())
    receive(signing(people, OLGA), 40, AS_SENT)
    attach(people.shop, people.clock, Person(WIM), people.number, 40, "r.pdf", b"invented", "certificate")
    assert "reviewing a certificate takes inspector" in refused(
        review(signing(people, WIM), 40, NewReview(True, HELD))
    )
    assert "Olga Vance received the work of this step" in refused(
        review(signing(people, OLGA), 40, NewReview(True, HELD))
    )
    assert review(signing(people, INES), 40, NewReview(True, HELD)).complies
