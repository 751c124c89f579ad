"""The closing sheet: as text, as a page, and the invoice's figures as CSV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import STAGES_DOING, plural
from bench.sheets.invoice_figures import figures_csv
from bench.sheets.offer import TAX_CAUTION
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, column, counted, headed

if TYPE_CHECKING:
    from bench.answers.closing import ClosingAnswer, ClosingLot


def closing_lines(answer: ClosingAnswer, width: int = WIDTH) -> list[str]:
    """What `closing` prints: hours, materials, offer against fact, lots, invoice."""
    state = "closing sheet" if answer.done else "so far"
    lines = [f"{cleaned(answer.title)}: {state}", ""]
    for head, text in _facts(answer):
        lines += headed(head.upper(), text, indent=14, width=width)
    lines.append("")
    for lot in answer.lots:
        lines += headed(cleaned(lot.lot, 22), _lot(lot), indent=24, width=width)
    if answer.invoice:
        lines += ["", "FOR THE INVOICE"]
        for line in answer.invoice:
            lines.append(f"{column(counted(line.count, line.what), 50)}{line.amount:>12}")
        lines += ["", *headed("!", TAX_CAUTION, indent=2, width=width)]
    return lines


def invoice_csv(answer: ClosingAnswer) -> str:
    """The figures for the invoice: what, count, each, amount, currency."""
    figures = ((line.what, line.count, line.each, line.amount) for line in answer.invoice)
    return figures_csv(figures, answer.currency)


def closing_html(answer: ClosingAnswer) -> str:
    """The whole sheet on one page, for the maker's own file."""
    facts = "".join(
        f"<tr><td>{escape(head)}</td><td>{safe(text)}</td></tr>" for head, text in _facts(answer)
    )
    lots = "".join(
        f"<tr><td>{safe(lot.lot)}</td><td>{safe(_lot(lot))}</td></tr>" for lot in answer.lots
    )
    invoice = "".join(
        f'<tr><td>{safe(counted(line.count, line.what))}</td><td class="n">{line.each}</td>'
        f'<td class="n">{line.amount} {safe(answer.currency)}</td></tr>'
        for line in answer.invoice
    )
    body = (
        f"<h1>{safe(answer.title)}</h1><table>{facts}</table><h2>Lots</h2><table>{lots}</table>"
        f"<section><h2>For the invoice</h2><table>{invoice}</table>"
        f'<p class="caution">{escape(TAX_CAUTION)}</p></section>'
    )
    return page(f"Closing: {answer.title}", body)


def _facts(answer: ClosingAnswer) -> list[tuple[str, str]]:
    stages = ", ".join(f"{STAGES_DOING[s]} {h:.1f}" for s, h in answer.stages.items() if h)
    parts = [stages] if stages else []
    parts += [f"rework {answer.rework_h:.1f}"] if answer.rework_h else []
    parts += [f"typed in {answer.whole_h:.1f}"] if answer.whole_h else []
    found = [("hours", f"{answer.hours:.1f}" + (f" ({', '.join(parts)})" if parts else ""))]
    if answer.untimed:
        said = f"of {plural(answer.untimed, 'good piece')} no hours are known: these are too few"
        found.append(("", said))
    if answer.each_h is not None:
        said = f"{answer.each_h:.2f} for each good piece whose hours are known, all spoilt included"
        found.append(("", said))
    if answer.offered_h is not None:
        found.append(("offered", f"{answer.offered_h:.1f} hours{_against(answer)}"))
    found += _materials(answer)
    if answer.due is not None:
        tax = f", of it tax {answer.tax}" if answer.tax and float(answer.tax) else ""
        said = f"{answer.due} {answer.currency}{tax}; received {answer.received}, to pay"
        found.append(("due", f"{said} {answer.to_pay}"))
    if answer.to_stock:
        said = f"{plural(answer.to_stock, 'piece')} went to finished stock"
        if answer.stock_brought:
            said += f" and brought {', '.join(answer.stock_brought)}, no part of what is due here"
        found.append(("besides", said))
    if answer.earned_per_hour is not None:
        found.append(("earned", f"{answer.earned_per_hour} {answer.currency} an hour"))
    if answer.next_cost is not None:
        text = f"about {answer.next_hours:.1f} hours, costs {answer.next_cost} {answer.currency}"
        found.append(("the next one", text + _without(answer.next_unpriced)))
    return found


def _against(answer: ClosingAnswer) -> str:
    """How the hours stand against the offered ones, once all of them are there and known."""
    if not answer.done:
        return "; not all is made yet, so nothing is held against that"
    more = answer.hours - (answer.offered_h or 0.0)
    return "" if answer.untimed else f"; {more:+.1f} against that"


def _materials(answer: ClosingAnswer) -> Iterator[tuple[str, str]]:
    """What tubes gave, beside what was planned and offered; what of it has no price."""
    currency, pieces = answer.currency, f"{answer.drawn} of {plural(answer.begun, 'piece')}"
    if answer.drawn:
        said = "no price in your stock" if answer.used is None else f"{answer.used} {currency}"
        yield (
            "materials",
            f"used: {said}, what tubes gave for {pieces}" + _without(answer.used_unpriced),
        )
    else:
        why = "not known, no tube is named by its loadings" if answer.begun else "nothing yet"
        yield "materials", f"used: {why}"
    if answer.planned is None:
        yield "", "planned: not known, your stock has no prices"
    else:
        said = f"planned: {answer.planned} {currency} for all pieces, spare included"
        yield "", said + _without(answer.planned_unpriced)
    if answer.offered_materials:
        yield "", f"in the offer: {answer.offered_materials} {currency}"


def _without(unpriced: Sequence[str]) -> str:
    """What has no price, all of it by name."""
    return f"; without {'; '.join(map(cleaned, unpriced))}: no price" if unpriced else ""


def _lot(lot: ClosingLot) -> str:
    said = f"{lot.good} of {lot.pieces} good"
    said += f", {lot.seconds} second" if lot.seconds else ""
    said += f", {lot.spoilt} spoilt" if lot.spoilt else ""
    said += f"; {lot.hours:.1f} h in all" if lot.hours else "; no hours known"
    if lot.each_h is not None:
        of = "" if lot.timed == lot.good else f" ({lot.timed} of them timed)"
        said += f", a good one {lot.each_h:.2f} h{of}"
    if lot.due:
        said += f"; due {lot.due}"
    if lot.last_finished:
        said += f", last finished {lot.last_finished}"
    return said + _handed_over(lot)


def _handed_over(lot: ClosingLot) -> str:
    """On which days it was handed over, and how that stands to the day it was due."""
    if not lot.handed_over:
        return ""
    days = (lot.first_out, lot.last_out)
    on = f"on {lot.first_out}" if lot.first_out == lot.last_out else "{} to {}".format(*days)
    said = f"; {lot.handed_over} handed over {on}"
    if lot.late_days is None:
        return said
    if lot.late_days == 0:
        return f"{said}, the day it was due"
    when = "after" if lot.late_days > 0 else "before"
    return f"{said}, {plural(abs(lot.late_days), 'day')} {when} it was due"
