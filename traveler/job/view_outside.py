"""Work given to vendors as JSON: every sending with what came of it."""

from typing import Any

from traveler.job.outside import receipt_faults, sending_word, wrong_count
from traveler.job.requirement import StepPlan
from traveler.job.sending import Receipt, Review, Sending
from traveler.job.state import JobState
from traveler.job.view_trust import who_when

Json = dict[str, Any]


def sendings_of_step(state: JobState, step: StepPlan) -> Json:
    """The key ``sendings`` of a step that was sent to a vendor; nothing of any other."""
    sendings = state.sendings_of(step.number)
    return {"sendings": [sending_object(sending) for sending in sendings]} if sendings else {}


def sending_object(sending: Sending) -> Json:
    """One sending: what went out and on what terms, each receipt, each review, or that it was called off."""
    called_off = sending.called_off
    return {
        "sending": sending.number,
        "vendor": sending.vendor,
        "order": sending.order,
        "what": sending.what,
        "pieces": sending.pieces,
        "requirement": sending.requirement,
        "revision": sending.revision,
        "returns": list(sending.returns),
        "expected": sending.expected,
        "state": sending_word(sending),
        "back": sending.returned,
        "wrong_count": wrong_count(sending) or None,
        **who_when(sending.by, sending.moment),
        "receipts": [_receipt(sending, receipt) for receipt in sending.receipts],
        "reviews": [_review(review) for review in sending.reviews],
        "called_off": None
        if called_off is None
        else {"because": called_off.because, **who_when(called_off.by, called_off.moment)},
    }


def _receipt(sending: Sending, receipt: Receipt) -> Json:
    return {
        "pieces": receipt.pieces,
        "condition": receipt.condition,
        "damage": receipt.damage,
        "heat_number": receipt.heat_number,
        "faults": list(receipt_faults(sending, receipt)),
        **who_when(receipt.by, receipt.moment),
    }


def _review(review: Review) -> Json:
    return {
        "result": "accepted" if review.accepted else "not accepted",
        "files": [{"name": name, "sha256": sha256} for name, sha256 in review.files],
        "held_against": review.held_against,
        "missing": list(review.missing),
        "because": review.because,
        "meaning": review.meaning,
        **who_when(review.by, review.moment),
    }
