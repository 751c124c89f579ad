"""The commands, one small module each.

A command's module has `arguments(parser)`, which declares what it takes; `answer(args, session)`,
which returns the shape to show, or None if it has written its output itself; and
`sheet(answer)`, which returns what is printed of that shape without --json: lines of text, or
Rich's renderables.
"""

from __future__ import annotations

COMMANDS: dict[str, tuple[str, str]] = {
    "list": ("listing", "what can be made, and what is in the making"),
    "check": ("check", "whether files are right, and sound craft"),
    "where": ("where", "where documents and journal lie"),
    "schema": ("schema", "the JSON Schema of a document or of an answer"),
    "steps": ("steps", "every cross of a pattern"),
    "picture": ("picture", "what the braid will look like, predicted"),
    "sheet": ("sheet", "what goes on each half of the threads, in which order"),
    "core": ("core", "which core fits inside, and when it goes down and out"),
    "weights": ("weights", "the counterweight, and when to change it"),
    "needs": ("needs", "what to have and to buy for a pattern, or for all of a commission"),
    "sketch": ("sketch", "a new pattern from another: shape, motif, colours, size, length"),
    "variants": ("variants", "many patterns from one, in JSON lines: operations in, figures out"),
    "versions": ("versions", "how a pattern of yours came about, and what its pieces measured"),
    "card": ("card", "for a customer: sizes and colourways side by side, in their true size"),
    "ask": ("ask", "what may have gone wrong, in JSON lines: reports in, suspects and looks out"),
    "export": ("export", "pieces as CSV, or every event as JSON lines"),
    "import": ("import_events", "take in times (CSV) or another bench's events (JSON lines)"),
    "restore": ("restore", "the backups of the journal; or put one in its place"),
    "record": ("record", "note down how long a piece took"),
    "trial": ("trial", "say that a piece was only tried out, and counts for nothing"),
    "pace": ("pace", "how long a piece takes you"),
    "commission": ("commission", "an order made and changed: lots, days, terms, versions"),
    "offer": ("offer", "what a commission costs, and the customer's sheet; accepted, it is frozen"),
    "account": ("account", "what is due for a commission, what came in, what is to pay"),
    "tubes": ("tubes", "tubes and spools: bought, opened, counted, empty, given away"),
    "finished": (
        "finished",
        "finished pieces of no order: sold, lent, given away, lost, back again",
    ),
    "closing": ("closing", "what a commission took, held against its offer; invoice figures"),
    "recipe": ("recipe", "the card of a sample as it was made, and what is different by now"),
    "notes": ("notes", "notes and photographs' names of a commission, a lot, a piece"),
    "tags": ("tags", "a tag for each piece of a commission, to print and cut"),
    "tonight": ("tonight", "what to do in the hours at hand, by what is promised next"),
    "inspect": ("inspect", "finished pieces against the sample: good, second, spoilt"),
    "pack": ("pack", "pieces into trays, handed over, given back; what is promised and spare"),
    "hang": ("hang", "which piece of a commission hangs where, and the thread to cut for each"),
    "forecast": ("forecast", "when a commission will be done, and what to charge"),
    "backup": ("backup", "documents and journal together, in one file"),
    "serve": ("serve", "the same app in a browser"),
}
"""Every command: its module in this package, and what it is for."""
