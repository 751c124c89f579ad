"""The sheets of `offer`: the customer's, as text and HTML, and what is the maker's alone."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import duration
from bench.sheets.paper import kind_html, letterhead, page, safe
from bench.sheets.words import WIDTH, address_lines, column, headed, long_day

if TYPE_CHECKING:
    from bench.answers.forecast import HoursInterval
    from bench.answers.money import OfferAnswer

TAX_CAUTION = (
    "Tax and prices: ask your tax office and your own adviser; the program only reckons with what"
    " you have set."
)


_APART_H = 1 / 60
"""Hours by which sums are told apart."""


def customer_lines(answer: OfferAnswer, width: int = WIDTH) -> list[str]:
    """The text to send: one price, the day, the deposit, and until when it holds."""
    title = "ORDER" if answer.accepted else "OFFER"
    maker = [cleaned(line) for line in address_lines(answer.letter.maker)]
    lines = [*maker, *([""] if maker else []), f"{title}: {cleaned(answer.title)}"]
    if answer.whom:
        lines.append(f"for {cleaned(answer.whom)}")
    lines += [long_day(answer.letter.day), ""]
    room = width - 34
    for name, each, price, kind in _lines(answer):
        lines.append(f"{column(name, room, 0)}{each:>14}{price:>12} {answer.currency}")
        lines += headed("", cleaned(kind), indent=4, width=room) if kind else ()
    lines.append("-" * (room + 27 + len(answer.currency)))
    for name, price in _sums(answer):
        lines.append(f"{column(name, room, 0)}{price:>26} {answer.currency}")
    lines += ["", *_terms(answer)]
    if answer.note:
        lines += ["", *headed("", cleaned(answer.note), indent=0, width=width)]
    return lines


def maker_lines(answer: OfferAnswer, width: int = WIDTH) -> list[str]:
    """What is the maker's alone: hours with their range, and what they cost."""
    lines = ["FOR YOU ALONE"]
    for lot in answer.lots:
        if lot.hours is None:
            continue
        materials = f", materials {lot.materials}" if lot.materials else ""
        how = "agreed" if lot.agreed else "worked out"
        costs = "" if lot.cost is None else f"; costs {lot.cost.low} to {lot.cost.high}"
        said = f"{_hours(lot.hours)}{costs}{materials}; {how}"
        lines += headed(cleaned(lot.name, 20), said, indent=22, width=width)
    worked_out = [lot for lot in answer.lots if not lot.agreed]
    if len({lot.each for lot in worked_out}) < len(worked_out):
        told = "lots of one pattern and size have one: the mean of what theirs cost"
        lines += headed("prices", told, indent=22, width=width)
    said = _hours(answer.hours)
    parts = [lot.hours.median_h for lot in answer.lots if lot.hours is not None]
    if len(parts) > 1 and abs(sum(parts) - answer.hours.median_h) >= _APART_H:
        said += "; those of the lots are middles and need not add up to it"
    lines += headed("all together", said, indent=22, width=width)
    if answer.cost is not None:
        cost = f"{answer.cost.median}, between {answer.cost.low} and {answer.cost.high}"
        lines += headed("costs you", f"{cost} {answer.currency}", indent=22, width=width)
    if answer.unpriced:
        lines += headed("no price for", "; ".join(answer.unpriced), indent=22, width=width)
    if answer.accepted:
        lines += headed("accepted", f"on {answer.accepted}; frozen", indent=22, width=width)
    return [*lines, "", *headed("!", TAX_CAUTION, indent=2, width=width)]


def offer_html(answer: OfferAnswer) -> str:
    """The customer's sheet as one HTML page."""
    title = "Order" if answer.accepted else "Offer"
    whom = f"<p>for {safe(answer.whom)}</p>" if answer.whom else ""
    rows = "".join(
        f'<tr><td>{safe(name)}{kind_html(kind)}</td><td class="n">{safe(each)}</td>'
        f'<td class="n">{price} {safe(answer.currency)}</td></tr>'
        for name, each, price, kind in _lines(answer)
    )
    sums = "".join(
        f'<tr class="sum"><td>{safe(name)}</td><td></td>'
        f'<td class="n">{price} {safe(answer.currency)}</td></tr>'
        for name, price in _sums(answer)
    )
    terms = "".join(f"<p>{safe(line)}</p>" for line in _terms(answer))
    note = f'<p class="note">{safe(answer.note)}</p>' if answer.note else ""
    head = f"{letterhead(answer.letter)}<h1>{title}: {safe(answer.title)}</h1>{whom}"
    body = f"{head}<table>{rows}{sums}</table>{terms}{note}"
    return page(f"{title}: {answer.title}", body)


def _lines(answer: OfferAnswer) -> list[tuple[str, str, str, str]]:
    """What is asked for, for one of it where there are several, for all, and what it is."""
    found = [
        (f"{lot.pieces} × {lot.name}", f"{lot.each} each", lot.price, lot.kind)
        for lot in answer.lots
    ]
    for name, amount in (("design", answer.design), ("boxes, findings, post", answer.notions)):
        if Decimal(amount):
            found.append((name, "", amount, ""))
    if Decimal(answer.discount):
        found.append(("discount", "", f"-{answer.discount}", ""))
    return found


def _sums(answer: OfferAnswer) -> list[tuple[str, str]]:
    if not Decimal(answer.tax):
        return [("in all", answer.gross)]
    tax = f"{answer.tax_name} {answer.tax_percent} %"
    return [("without tax", answer.net), (tax, answer.tax), ("in all", answer.gross)]


def _terms(answer: OfferAnswer) -> list[str]:
    found = []
    if answer.due:
        found.append(f"ready by {long_day(answer.due)}")
    if Decimal(answer.deposit):
        found.append(f"deposit, before the work begins: {answer.deposit} {answer.currency}")
    if answer.accepted:
        found.append(f"accepted on {long_day(answer.accepted)}")
    elif answer.holds_until:
        found.append(f"this offer holds until {long_day(answer.holds_until)}")
    return found


def _hours(said: HoursInterval) -> str:
    low, median, high = (duration(h * 3600) for h in (said.low_h, said.median_h, said.high_h))
    return f"{median} ({'a guess' if said.level is None else '8 in 10'}: {low} to {high})"
