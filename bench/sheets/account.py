"""The sheet of `account`: in plain text, and as a page for the customer."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.offer import TAX_CAUTION
from bench.sheets.paper import kind_html, letterhead, page, safe
from bench.sheets.part_delivery import part_said
from bench.sheets.words import WIDTH, column, headed, long_day

if TYPE_CHECKING:
    from bench.answers.money import AccountAnswer


def account_lines(answer: AccountAnswer, width: int = WIDTH) -> list[str]:
    """What `account` prints: what is due, what came in, what is still to pay."""
    lines = [f"{cleaned(answer.title)}: money", ""]
    wide = min(50, width - 28)
    if answer.accepted is None:
        lines += headed("OFFER", "none is accepted yet", width=width)
    else:
        said = f"{answer.offered} {answer.currency}, accepted on {long_day(answer.accepted)}"
        lines += headed("OFFER", said, width=width)
        if answer.changed:
            agreed = "not agreed on yet"
            if answer.agreed is not None:
                agreed = f"agreed on {long_day(answer.agreed)}"
            lines += headed("CHANGED", f"{agreed}{_new_day(answer)}", width=width)
        lines.append("")
        for line in answer.lines:
            count = f"{line.pieces}" + (f" + {line.charged} charged" if line.charged else "")
            name = column(f"{count} × {line.name}, {line.each} each", wide)
            change = f"  ({Decimal(line.change):+.2f})" if Decimal(line.change) else ""
            lines.append(f"{name}{line.price:>12}{change}")
        lines += [f"{column(name, wide)}{amount:>12}" for name, amount in answer.besides]
        if answer.to_stock:
            lines.append(f"{answer.to_stock} made beyond a lowered count: finished stock")
        lines += [
            "",
            *_row("due", answer.due, answer, wide),
            *(_row("of it tax", answer.tax, answer, wide) if Decimal(answer.tax or 0) else ()),
        ]
    for moved in answer.movements:
        name = f"{moved.what} on {long_day(moved.day)}" + (f", {moved.note}" if moved.note else "")
        lines.append(f"{column(name, wide)}{moved.amount:>12}")
    lines += [
        *_row("received", answer.received, answer, wide),
        *_row(*_left(answer), answer, wide),
    ]
    if Decimal(answer.deposit_missing):
        lines += _row("of the deposit missing", answer.deposit_missing, answer, wide)
    for part in answer.parts:
        said = f"{long_day(part.day)}: {part_said(part, answer.currency)}"
        lines += headed("HANDED OVER", said, indent=14, width=width)
    if answer.parts:
        to_come = f"{answer.parts[-1].to_come} {answer.currency}"
        lines += headed("STILL TO COME", to_come, indent=14, width=width)
    return [*lines, "", *headed("!", TAX_CAUTION, indent=2, width=width)]


def account_html(answer: AccountAnswer) -> str:
    """The order as it stands for the customer: what is due now, what came in, what is to pay."""
    rows = "".join(
        f"<tr><td>{line.pieces + line.charged} × {safe(line.name)}{kind_html(line.kind)}</td>"
        f'<td class="n">{line.each}</td><td class="n">{line.price}</td></tr>'
        for line in answer.lines
        if line.pieces + line.charged
    )
    rows += "".join(
        f'<tr><td>{safe(name)}</td><td></td><td class="n">{amount}</td></tr>'
        for name, amount in answer.besides
    )
    sums = [("due", answer.due)]
    for one in answer.movements:
        name = ", ".join(filter(None, (f"{one.what} on {long_day(one.day)}", one.note)))
        sums.append((name, f"{-Decimal(one.amount):.2f}"))
    sums.append(_left(answer, "still to pay"))
    below = "".join(
        f'<tr class="sum"><td>{safe(name)}</td><td></td>'
        f'<td class="n">{amount} {safe(answer.currency)}</td></tr>'
        for name, amount in sums
        if amount is not None
    )
    said = "none is accepted yet"
    if answer.accepted is not None:
        said = f"accepted on {long_day(answer.accepted)} at {answer.offered} {answer.currency}"
    day = "" if answer.ready is None else f"<p>ready by {long_day(answer.ready)}</p>"
    title = f"Order: {answer.title}"
    whom = f"<p>for {safe(answer.whom)}</p>" if answer.whom else ""
    body = (
        f"{letterhead(answer.letter)}<h1>{safe(title)}</h1>{whom}{day}<p>Offer: {safe(said)}</p>"
        '<table><tr><th></th><th class="n">each</th><th class="n">price</th></tr>'
        f"{rows}{below}</table>{_changes(answer)}"
    )
    return page(title, body)


def _left(answer: AccountAnswer, to_pay: str = "to pay") -> tuple[str, str | None]:
    """What is still to be paid, or to be given back."""
    if answer.to_pay is None or Decimal(answer.to_pay) >= 0:
        return to_pay, answer.to_pay
    return "to give back", answer.to_pay.removeprefix("-")


def _new_day(answer: AccountAnswer) -> str:
    """The day that it is due, and which one that took the place of."""
    if answer.ready == answer.offered_ready:
        return ""
    days = (
        "no day" if day is None else long_day(day) for day in (answer.ready, answer.offered_ready)
    )
    return "; due on {} in place of {}".format(*days)


def _changes(answer: AccountAnswer) -> str:
    """What is another than was accepted, lot by lot, and where it is agreed on."""
    if not answer.changed:
        return ""
    rows = "".join(
        f"<tr><td>{safe(line.name)}: {line.pieces + line.charged} in place of {line.offered}</td>"
        f'<td class="n">{Decimal(line.change):+.2f}</td></tr>'
        for line in answer.lines
        if Decimal(line.change)
    )
    said = f"<p>agreed on {long_day(answer.agreed)}</p>" if answer.agreed else _SIGNED
    day = _new_day(answer).removeprefix("; ")
    return (
        f"<h2>Changed since the offer</h2>{f'<p>{day}</p>' if day else ''}"
        f"{f'<table>{rows}</table>' if rows else ''}{said}"
    )


_SIGNED = '<p class="note">agreed: ______________________ &nbsp; on: ______________</p>'


def _row(name: str, amount: str | None, answer: AccountAnswer, wide: int) -> list[str]:
    return [] if amount is None else [f"{name.upper():<{wide}}{amount:>12} {answer.currency}"]
