"""The sheet of what was handed over on a day: as text, as a page, and the invoice's figures."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import plural
from bench.sheets.invoice_figures import Figure, figures_csv
from bench.sheets.offer import TAX_CAUTION
from bench.sheets.paper import kind_html, letterhead, page, safe
from bench.sheets.words import WIDTH, column, counted, headed, long_day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bench.answers.money import AccountAnswer, DeliveredLine, PartDelivery


def part_lines(answer: AccountAnswer, part: PartDelivery, width: int = WIDTH) -> list[str]:
    """What was handed over on a day, what is due for it, what was paid, what is to come."""
    lines = [f"{cleaned(answer.title)}: handed over on {long_day(part.day)}", ""]
    wide = min(50, width - 28)
    for what, count, _, amount in _figures(part):
        lines.append(f"{column(counted(count, what), wide)}{amount:>12}")
    for line in part.lines:
        lines += headed(cleaned(line.name, 20), _which(line), indent=22, width=width)
    lines.append("")
    for name, amount in _sums(part):
        lines.append(f"{name.upper():<{wide}}{amount:>12} {answer.currency}")
    return [*lines, "", *headed("!", TAX_CAUTION, indent=2, width=width)]


def part_html(answer: AccountAnswer, part: PartDelivery) -> str:
    """The customer's sheet of what was handed over on a day."""
    rows = "".join(
        f"<tr><td>{safe(counted(count, what))}</td>"
        f'<td class="n">{"" if each == amount else each}</td><td class="n">{amount}</td></tr>'
        for what, count, each, amount in _figures(part)
    )
    below = "".join(
        f'<tr class="sum"><td>{safe(name)}</td><td></td>'
        f'<td class="n">{amount} {safe(answer.currency)}</td></tr>'
        for name, amount in _sums(part)[:-1]
    )
    which = "".join(
        f"<tr><td>{safe(line.name)}{kind_html(line.kind)}</td><td>{safe(_which(line))}</td></tr>"
        for line in part.lines
    )
    title = f"Handed over on {long_day(part.day)}: {answer.title}"
    whom = f"<p>for {safe(answer.whom)}</p>" if answer.whom else ""
    name, to_come = _sums(part)[-1]
    body = (
        f"{letterhead(answer.letter)}<h1>{safe(title)}</h1>{whom}"
        '<table><tr><th></th><th class="n">each</th><th class="n">price</th></tr>'
        f"{rows}{below}</table><h2>Pieces</h2><table>{which}</table>"
        f"<p>{safe(name)}: {to_come} {safe(answer.currency)}</p>"
    )
    return page(title, body)


def part_csv(answer: AccountAnswer, part: PartDelivery) -> str:
    """The figures of a day's part for its invoice."""
    return figures_csv(_figures(part), answer.currency)


def part_said(part: PartDelivery, currency: str) -> str:
    """A part in a line: how many pieces, what is due for it, what of that is still to be paid."""
    pieces = plural(sum(line.pieces for line in part.lines), "piece")
    return f"{pieces}, due {part.due} {currency}, to pay {part.to_pay}"


def _figures(part: PartDelivery) -> Iterator[Figure]:
    """What is charged, each with its amount; what goes beyond the order, at nothing."""
    for line in part.lines:
        if line.charged:
            each = line.each or "0.00"
            yield line.name, line.charged, each, line.price
        more = line.pieces - line.charged
        if more:
            why = "without a price" if line.each is None else "beyond the order"
            yield f"{line.name}, {why}", more, "0.00", "0.00"
    for what, amount in part.besides:
        yield what, 1, amount, amount


def _sums(part: PartDelivery) -> Sequence[tuple[str, str]]:
    return (
        ("due for this part", part.due),
        ("paid of it", part.paid),
        ("still to pay of it", part.to_pay),
        ("due for what is still to come", part.to_come),
    )


def _which(line: DeliveredLine) -> str:
    """The numbers of the pieces, runs of them in one: no. 1 to 4, 6."""
    ends = [0, *(at for at, (a, b) in enumerate(pairwise(line.numbers), 1) if b != a + 1)]
    runs = [line.numbers[a:b] for a, b in pairwise([*ends, len(line.numbers)])]
    said = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs if run]
    unnumbered = line.pieces - len(line.numbers)
    parts = [f"no. {', '.join(said)}"] if said else []
    parts += [f"{plural(unnumbered, 'piece')} without a number"] if unnumbered else []
    return "; ".join(parts)
